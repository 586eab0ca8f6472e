// Lengths in the units of the ground and of the card, with no more digits than the receiver has earned.

const FOOT_M = 0.3048;
const INCH_M = 0.0254;
const YARD_M = 0.9144;
const INCH_STEPS = [6, 3, 2, 1, 0.5];

/** How fine a position may be shown in degrees: 95 % radius up to 0.5 m centimetres, up to 5 m decimetres, beyond or unknown metres. */
export function fineness(radius95M) {
  if (radius95M === null) return 'metre';
  if (radius95M <= 0.5) return 'centimetre';
  return radius95M <= 5 ? 'decimetre' : 'metre';
}

/** The step figures go in: the largest of 1, 2, 5 times a power of ten up to half the 95 % radius, in the unit of the radius; 1 where none is known. */
function stepOf(radius, least) {
  if (radius === null) return 1;
  const half = (radius / 2) * (1 + 1e-9);
  if (half <= least) return least;
  const tens = 10 ** Math.floor(Math.log10(half));
  return [5, 2, 1].map((n) => n * tens).find((step) => step <= half);
}

const inUnit = (radius95M, unitM) => (radius95M === null ? null : radius95M / unitM);
const decimalsOf = (step) => Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
const rounded = (value, step, round = Math.round) => (step * round(value / step)).toFixed(decimalsOf(step));

const unsignedZero = (figure) => figure.replace(/^-(0(\.0+)?)$/, '$1');

/** A ground length as [figure, unit] pairs, e.g. [['2.41', 'm']] or [['6', 'ft'], ['11', 'in']]. `bySize` decides whether small units are used. */
export function groundParts(lengthM, unit, radius95M, bySize = lengthM) {
  return unit === 'foot' ? footParts(lengthM, radius95M, bySize) : metreParts(lengthM, radius95M, bySize);
}

/** A ground length in words: '2.41 m', '41 cm', '6 ft 11 in'. */
export function groundWords(lengthM, unit, radius95M, bySize = lengthM) {
  return groundParts(lengthM, unit, radius95M, bySize).map((pair) => pair.join(' ')).join(' ');
}

/** True when a length shows as nothing at this fineness. */
export function showsAsZero(lengthM, unit, radius95M, bySize = lengthM) {
  return groundParts(lengthM, unit, radius95M, bySize).every(([figure]) => Number(figure) === 0);
}

function metreParts(lengthM, radius95M, bySize) {
  const step = stepOf(radius95M, bySize >= 1000 ? 0.1 : 0.01);
  if (step < 0.1 && Math.round(bySize * 100) < 100) return [[rounded(lengthM * 100, Math.round(step * 100)), 'cm']];
  return [[rounded(lengthM, step), 'm']];
}

function footParts(lengthM, radius95M, bySize) {
  const feet = stepOf(inUnit(radius95M, FOOT_M), 0.01);
  if (radius95M === null) return [[rounded(lengthM / FOOT_M, 5), 'ft']];
  if (feet >= 1 || bySize >= 100 * FOOT_M) return [[rounded(lengthM / FOOT_M, Math.max(1, feet)), 'ft']];
  const step = INCH_STEPS.find((inches) => inches <= radius95M / INCH_M / 2) ?? INCH_STEPS.at(-1);
  if (Math.round((2 * bySize) / INCH_M) < 24) return [[String(step * Math.round(lengthM / INCH_M / step)), 'in']];
  const whole = Math.max(1, step);
  const inches = whole * Math.round(lengthM / INCH_M / whole);
  const inchPart = [String(inches % 12), 'in'];
  return inches < 12 ? [inchPart] : [[String(Math.floor(inches / 12)), 'ft'], inchPart];
}

/** A 95 % radius, rounded up so that it never flatters: '2.3 cm', '0.9 m', '21 m'. One that is asked for is rounded down. */
export function radiusWords(radiusM, unit, round = Math.ceil) {
  return radiusParts(radiusM, unit, round).join(' ');
}

/** The same as [figure, unit]. */
export function radiusParts(radiusM, unit, round = Math.ceil) {
  const [small, large] = unit === 'foot' ? [INCH_M, FOOT_M] : [0.01, 1];
  const [smallName, largeName] = unit === 'foot' ? ['in', 'ft'] : ['cm', 'm'];
  if (radiusM >= 10_000 && unit !== 'foot') return [upTo(radiusM / 1000, 0, round), 'km'];
  if (radiusM < 0.1) return [upTo(radiusM / small, 1, round), smallName];
  return [upTo(radiusM / large, radiusM < 10 ? 1 : 0, round), largeName];
}

function upTo(value, decimals, round) {
  const tens = 10 ** decimals;
  const hair = round === Math.ceil ? -1e-9 : 1e-9;
  return (round(value * tens + hair) / tens).toFixed(decimals);
}

/** A tolerance as the site states it: '0.10 m' or '3.9 in'. */
export function toleranceWords(toleranceM, unit) {
  return unit === 'foot' ? `${(toleranceM / INCH_M).toFixed(1)} in` : `${toleranceM.toFixed(2)} m`;
}

/** A yardage figure without its unit, in 'yard' or 'metre', never '-0'; `round` may be Math.floor or Math.ceil, for the ends of a range. */
export function yardageFigure(lengthM, unit, radius95M, mostDecimals = 2, round = Math.round) {
  const unitM = unit === 'yard' ? YARD_M : 1;
  return unsignedZero(rounded(lengthM / unitM, stepOf(inUnit(radius95M, unitM), 10 ** -mostDecimals), round));
}

/**
 * A yardage measured and one it is held against, {measured, planned, apart} without their unit: no digits more than the
 * first has earned, and `apart` what lies between the two as they are shown. `isRough` where the step is one unit or more.
 */
export function yardagesBeside(measuredM, plannedM, unit, radius95M, mostDecimals = 2) {
  const unitM = unit === 'yard' ? YARD_M : 1;
  const step = stepOf(inUnit(radius95M, unitM), 10 ** -mostDecimals);
  const [measured, planned] = [rounded(measuredM / unitM, step), (plannedM / unitM).toFixed(decimalsOf(step))].map(unsignedZero);
  const apart = unsignedZero((Number(measured) - Number(planned)).toFixed(decimalsOf(step)));
  return { measured, planned, apart, isRough: step >= 1 };
}

/** The sign of a yardage unit. */
export const yardageSign = (unit) => (unit === 'yard' ? 'yd' : 'm');
