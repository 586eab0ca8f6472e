// Lengths off a tape as they are typed for a point: a figure may be 0, and along a string it may be less.

import { LONGEST_M, tapeWords, typedLengthM, typingWords } from './tape_words.js';

/** A typed length as {lengthM}, or {fault}, a sentence; `what` names it: 'the distance from r4a'. */
export function lengthTyped(text, unit, what) {
  const typed = text.trim();
  if (typed === '') return { fault: `Type ${what}.` };
  const lengthM = typedLengthM(typed, unit);
  if (lengthM === null) return { fault: `'${typed}' is no length: type ${what} in ${unit === 'foot' ? 'feet' : 'metres'}, ${typingWords(unit)}.` };
  if (Math.abs(lengthM) > LONGEST_M) return { fault: `${tapeWords(lengthM, unit)} is longer than any tape: type ${what} again.` };
  return { lengthM };
}
