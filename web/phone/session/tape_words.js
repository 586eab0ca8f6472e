// Taped distances in words, to the centimetre or to a hundredth of a foot, and read as they are typed.

const FOOT_M = 0.3048;
const LONGEST_M = 200;

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

/** How a tape is to be pulled so that it reads as it is reckoned. */
export const pullWords = (isOnSlope) => (isOnSlope ? 'along the slope' : 'held level');

/** A typed distance, {lengthM} in metres or {fault} in words; {} of nothing typed. */
export function typedTape(text, unit) {
  const typed = text.trim().replace(',', '.');
  if (typed === '') return {};
  const lengthM = /^\d*\.?\d+$|^\d+\.$/.test(typed) ? Number(typed) * unitM(unit) : NaN;
  if (!Number.isFinite(lengthM) || lengthM <= 0) return { fault: `'${text.trim()}' is no distance; type it in ${unit === 'foot' ? 'feet' : 'metres'}, as 7.42.` };
  return lengthM > LONGEST_M ? { fault: `${text.trim()} ${tapeSign(unit)} is longer than any tape.` } : { lengthM };
}

/** The sides of a 3-4-5 in round figures of the unit: 6, 8 and 10 m, or 18, 24 and 30 ft. */
export const squareUnitM = (unit) => (unit === 'foot' ? 6 * FOOT_M : 2);
