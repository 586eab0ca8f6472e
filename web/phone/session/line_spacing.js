// The spacing of the squares along a string as it is typed, within the limits that the desk has too.

import { tapeSign, typedTape } from './tape_words.js';

const [LEAST_M, MOST_M, FOOT_M] = [0.1, 50, 0.3048];

/** A typed spacing {lengthM} in metres or {fault} in words; {} of nothing typed. */
export function spacingTyped(text, unit) {
  const typed = typedTape(text, unit);
  const isWithin = typed.lengthM >= LEAST_M && typed.lengthM <= MOST_M;
  return typed.lengthM === undefined || isWithin ? typed : { fault: `'${text.trim()}' cannot be the spacing along the string; give from ${limitWords(LEAST_M, unit)} to ${limitWords(MOST_M, unit)} ${tapeSign(unit)}.` };
}

/** A limit: whole, a small one to two figures. */
function limitWords(limitM, unit) {
  const limit = unit === 'foot' ? limitM / FOOT_M : limitM;
  return limit >= 10 ? limit.toFixed(0) : String(Number(limit.toPrecision(2)));
}
