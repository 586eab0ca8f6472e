// Figures as they are typed into the card: lengths in a unit of the site or with their own, and plain numbers.

const METRES_PER = { m: 1, yd: 0.9144, ft: 0.3048 };
const LENGTH = /^([+-]?\d{1,7}(?:\.\d{1,6})?)\s*(m|yd|yards?|ft|feet|metres?)?$/;
const SIGN_OF = { yard: 'yd', yards: 'yd', foot: 'ft', feet: 'ft', metre: 'm', metres: 'm' };

const TWO_WAYS = /^[+-]?[1-9]\d{0,2}(,\d{3})+(?!\d)/;
const [MOST_SHOWN, MOST_NAME] = [24, 100];

const plain = (text) => text.trim().toLowerCase().replaceAll('\u2212', '-').replace(',', '.');
const signOf = (word) => SIGN_OF[word] ?? word;

const lower = (what) => what[0].toLowerCase() + what.slice(1);

/** What somebody typed as it is said again: not all of it where it is long. */
export function shown(text) {
  const letters = [...text.trim()];
  return letters.length > MOST_SHOWN ? `${letters.slice(0, MOST_SHOWN).join('')}…` : letters.join('');
}

/** What is wrong with something typed that holds no figure. */
function unread(text, what, noFigure) {
  if (text.trim() === '') return { fault: `Type ${lower(what)}.` };
  return { fault: `'${shown(text)}' ${TWO_WAYS.test(text.trim()) ? 'can be read in two ways; type it without the comma, or with a point.' : noFigure}` };
}

/** A typed length {lengthM} in metres, or {fault} in words; without a unit it is in that of the site, 'yard', 'foot' or 'metre'. */
export function typedLength(text, unit, what) {
  const [, figure, named] = (TWO_WAYS.test(text.trim()) ? null : LENGTH.exec(plain(text))) ?? [];
  if (figure === undefined) return unread(text, what, `is no length for ${what}; type a figure such as 12.5, without a unit it is in ${signOf(unit)}.`);
  return { lengthM: Number(figure) * METRES_PER[signOf(named ?? unit)] };
}

/** A typed number within limits, {number} or {fault}. */
export function typedNumber(text, what, least, most) {
  const number = !TWO_WAYS.test(text.trim()) && /^[+-]?\d+(\.\d+)?$/.test(plain(text)) ? Number(plain(text)) : NaN;
  if (Number.isNaN(number)) return unread(text, what, `is no figure for ${lower(what)}.`);
  return number < least || number > most ? { fault: `${what} cannot be ${shown(text)}; type from ${least} to ${most}.` } : { number };
}

/** The same typed length, or {fault} where it is not from `leastM` to `mostM`. */
export function lengthWithin(typed, what, unit, leastM, mostM) {
  if (typed.fault !== undefined || (typed.lengthM >= leastM && typed.lengthM <= mostM)) return typed;
  const [least, most] = [leastM, mostM].map((lengthM) => fieldText(lengthM, unit, Math.abs(lengthM) < 1 ? 3 : 0));
  return { fault: `${what} must be from ${least} to ${most} ${signOf(unit)}; type it again.` };
}

/** Why a text cannot be a bunker's name, or null. */
export function nameFault(text) {
  const count = [...text.trim()].length;
  if (count === 0) return 'A bunker needs a name; type one.';
  return count > MOST_NAME ? `A name has ${MOST_NAME} characters at most, and this one ${count}; type a shorter one and put the rest into its note.` : null;
}

/** The first fault of some typed things, or null. */
export const firstFault = (...typed) => typed.find((one) => one.fault !== undefined)?.fault ?? null;

/** A length as it stands in a field: in the unit, no more digits than it needs, 0.1 mm at the finest. */
export const fieldText = (lengthM, unit, decimals = 4) => String(Number((lengthM / METRES_PER[signOf(unit)]).toFixed(decimals)) + 0);
