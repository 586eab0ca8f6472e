// Figures as they are typed into the card: lengths in a unit of the site or with their own, and plain numbers.

const METRES_PER = { m: 1, yd: 0.9144, ft: 0.3048 };
const LENGTH = /^([+-]?\d{1,7}(?:\.\d{1,6})?)\s*(m|yd|yards?|ft|feet|metres?)?$/;
const SIGN_OF = { yard: 'yd', yards: 'yd', foot: 'ft', feet: 'ft', metre: 'm', metres: 'm' };

const plain = (text) => text.trim().toLowerCase().replaceAll('\u2212', '-').replace(',', '.');
const signOf = (word) => SIGN_OF[word] ?? word;

/** A typed length {lengthM} in metres, or {fault} in words; without a unit it is in that of the site, 'yard', 'foot' or 'metre'. */
export function typedLength(text, unit, what) {
  const [, figure, named] = LENGTH.exec(plain(text)) ?? [];
  if (figure === undefined) return { fault: text.trim() === '' ? `Type ${what}.` : `'${text.trim()}' is no length for ${what}; type a figure such as 12.5, without a unit it is in ${signOf(unit)}.` };
  return { lengthM: Number(figure) * METRES_PER[signOf(named ?? unit)] };
}

/** A typed number within limits, {number} or {fault}. */
export function typedNumber(text, what, least, most) {
  const number = /^[+-]?\d+(\.\d+)?$/.test(plain(text)) ? Number(plain(text)) : NaN;
  if (Number.isNaN(number)) return { fault: text.trim() === '' ? `Type ${what}.` : `'${text.trim()}' is no figure for ${what}.` };
  return number < least || number > most ? { fault: `${what} cannot be ${text.trim()}; type from ${least} to ${most}.` } : { number };
}

/** The first fault of some typed things, or null. */
export const firstFault = (...typed) => typed.find((one) => one.fault !== undefined)?.fault ?? null;

/** A length as it stands in a field: in the unit, no more digits than it needs, 0.1 mm at the finest. */
export const fieldText = (lengthM, unit, decimals = 4) => String(Number((lengthM / METRES_PER[signOf(unit)]).toFixed(decimals)) + 0);
