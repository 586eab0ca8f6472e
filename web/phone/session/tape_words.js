// Taped distances in words, to the centimetre or to a hundredth of a foot, and read as they are typed.

import { radiusWords } from './lengths.js';

const FOOT_M = 0.3048;
export const LONGEST_M = 200;

const NUMBER = String.raw`(?:\d+\.?\d*|\.\d+)`;
const PLAIN = new RegExp(`^([-+]?)(${NUMBER})\\s*(m|metres?|meters?|cm|mm)?$`);
const FEET = new RegExp(`^([-+]?)(${NUMBER})\\s*(?:'|ft\\.?|feet|foot)\\s*(?:(${NUMBER})\\s*(?:"|''|in\\.?|inch(?:es)?)?)?$`);
const SMALL = { cm: 0.01, mm: 0.001 };

const unitM = (unit) => (unit === 'foot' ? FOOT_M : 1);

/** The sign of the unit that a tape of this site is read in. */
export const tapeSign = (unit) => (unit === 'foot' ? 'ft' : 'm');

/** A distance to tape or along a string as [figure, sign]: ['7.42', 'm'], ['24.34', 'ft']; never '-0.00'. */
export function tapeParts(lengthM, unit) {
  const figure = (lengthM / unitM(unit)).toFixed(2);
  return [Number(figure) === 0 ? '0.00' : figure, tapeSign(unit)];
}

/** The same in words: '7.42 m'. */
export const tapeWords = (lengthM, unit) => tapeParts(lengthM, unit).join(' ');

/**
 * A length as it is typed, metres, or null where it is none: '42', '42,5', '42 m' or '4250 cm', and feet as 98.92 ft, 98',
 * 98'11" or 98 ft 11. Without a unit it is in that of the site; it may be less than 0.
 */
export function typedLengthM(text, unit) {
  const typed = text.trim().toLowerCase().replace(/,/g, '.').replace(/[’′]/g, '\'').replace(/[”″]/g, '"');
  const [, sign, figure, named] = PLAIN.exec(typed) ?? [];
  if (figure !== undefined) return signed(sign, Number(figure) * (named === undefined ? unitM(unit) : SMALL[named] ?? 1));
  const [, side, feet, inches] = FEET.exec(typed) ?? [];
  const isMixed = inches !== undefined;
  if (feet === undefined || (isMixed && (!/^\d+$/.test(feet) || Number(inches) >= 12))) return null;
  return signed(side, (Number(feet) + (isMixed ? Number(inches) / 12 : 0)) * FOOT_M);
}

const signed = (sign, lengthM) => (sign === '-' ? -lengthM : lengthM);

/** How a length may be typed, for a sentence. */
export const typingWords = (unit) => (unit === 'foot' ? 'as 24.35 or 24\'4"' : 'as 7.42');

/** How a tape is to be pulled so that it reads as it is reckoned. */
export const pullWords = (isOnSlope) => (isOnSlope ? 'along the slope' : 'held level');

/** A typed distance, {lengthM} in metres or {fault} in words; {} of nothing typed. */
export function typedTape(text, unit) {
  const typed = text.trim();
  if (typed === '') return {};
  const lengthM = typedLengthM(typed, unit);
  if (lengthM === null || lengthM <= 0) return { fault: `'${typed}' is no distance; type it in ${unit === 'foot' ? 'feet' : 'metres'}, ${typingWords(unit)}.` };
  return lengthM > LONGEST_M ? { fault: `${tapeWords(lengthM, unit)} is longer than any tape.` } : { lengthM };
}

/** An error of a taped length, rounded up so that it never flatters: '2.3 cm', and in hundredths of a foot '0.08 ft'. */
export function errorWords(errorM, unit) {
  return unit === 'foot' ? `${upTo(errorM / FOOT_M, 2)} ft` : radiusWords(errorM, unit);
}

/** Errors from the least to the greatest, in one unit: '3.1 to 4.4 cm', '0.08 to 0.20 m'. */
export function errorRangeWords(leastM, mostM, unit) {
  const decimals = mostM < 1 ? 2 : 1;
  const [one, sign, figures] = unit === 'foot' ? [FOOT_M, 'ft', 2] : mostM < 0.1 ? [0.01, 'cm', 1] : [1, 'm', decimals];
  const [least, most] = [leastM, mostM].map((m) => upTo(m / one, figures));
  return least === most ? `${most} ${sign}` : `${least} to ${most} ${sign}`;
}

const upTo = (value, decimals) => (Math.ceil(value * 10 ** decimals - 1e-9) / 10 ** decimals).toFixed(decimals);

/** The sides of a 3-4-5 in round figures of the unit: 6, 8 and 10 m, or 18, 24 and 30 ft. */
export const squareUnitM = (unit) => (unit === 'foot' ? 6 * FOOT_M : 2);
