// Lengths in the units of the ground and of the card, with no more digits than the receiver has earned.

const FOOT_M = 0.3048;
const INCH_M = 0.0254;
const YARD_M = 0.9144;

/** How fine a figure may be shown: 95 % radius up to 0.5 m centimetres, up to 5 m decimetres, beyond or unknown metres. */
export function fineness(radius95M) {
  if (radius95M === null) return 'metre';
  if (radius95M <= 0.5) return 'centimetre';
  return radius95M <= 5 ? 'decimetre' : 'metre';
}

/** What whole figures are rounded to, so that a rough position shows no fine figure: 1, then 10, 100, 1000. */
function coarseness(radius95M) {
  const steps = [[20, 1], [200, 10], [2000, 100], [Infinity, 1000]];
  return radius95M === null ? 1 : steps.find(([limit]) => radius95M <= limit)[1];
}

const roundedTo = (value, step) => (step * Math.round(value / step)).toFixed(0);

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
  const fine = fineness(radius95M);
  if (fine === 'metre') return [[roundedTo(lengthM, coarseness(radius95M)), 'm']];
  if (fine === 'decimetre' || bySize >= 1000) return [[lengthM.toFixed(1), 'm']];
  if (Math.round(bySize * 100) < 100) return [[(lengthM * 100).toFixed(0), 'cm']];
  return [[lengthM.toFixed(2), 'm']];
}

function footParts(lengthM, radius95M, bySize) {
  const fine = fineness(radius95M);
  if (fine === 'metre') return [[roundedTo(lengthM / FOOT_M, 5 * coarseness(radius95M)), 'ft']];
  if (fine === 'decimetre' || bySize >= 100 * FOOT_M) return [[(lengthM / FOOT_M).toFixed(0), 'ft']];
  if (Math.round((2 * bySize) / INCH_M) < 24) return [[String(Math.round((2 * lengthM) / INCH_M) / 2), 'in']];
  const inches = Math.round(lengthM / INCH_M);
  const inchPart = [String(inches % 12), 'in'];
  return inches < 12 ? [inchPart] : [[String(Math.floor(inches / 12)), 'ft'], inchPart];
}

/** A 95 % radius, rounded up so that it never flatters: '2.3 cm', '0.9 m', '21 m'. */
export function radiusWords(radiusM, unit) {
  const [small, large] = unit === 'foot' ? [INCH_M, FOOT_M] : [0.01, 1];
  const [smallName, largeName] = unit === 'foot' ? ['in', 'ft'] : ['cm', 'm'];
  if (radiusM >= 10_000 && unit !== 'foot') return `${upTo(radiusM / 1000, 0)} km`;
  if (radiusM < 0.1) return `${upTo(radiusM / small, 1)} ${smallName}`;
  return radiusM < 10 ? `${upTo(radiusM / large, 1)} ${largeName}` : `${upTo(radiusM / large, 0)} ${largeName}`;
}

function upTo(value, decimals) {
  const tens = 10 ** decimals;
  return (Math.ceil(value * tens - 1e-9) / tens).toFixed(decimals);
}

/** A tolerance as the site states it: '0.10 m' or '3.9 in'. */
export function toleranceWords(toleranceM, unit) {
  return unit === 'foot' ? `${(toleranceM / INCH_M).toFixed(1)} in` : `${toleranceM.toFixed(2)} m`;
}

/** A yardage figure without its unit, in 'yard' or 'metre', never '-0'. */
export function yardageFigure(lengthM, unit, radius95M, mostDecimals = 2) {
  const decimals = { centimetre: 2, decimetre: 1, metre: 0 }[fineness(radius95M)];
  const value = unit === 'yard' ? lengthM / YARD_M : lengthM;
  const text = decimals > 0 ? value.toFixed(Math.min(decimals, mostDecimals)) : roundedTo(value, coarseness(radius95M));
  return text.replace(/^-(0(\.0+)?)$/, '$1');
}

/** The sign of a yardage unit. */
export const yardageSign = (unit) => (unit === 'yard' ? 'yd' : 'm');
