// Lengths off a tape as they are typed for a point: a figure may be 0, and along a string it may be less.

import { tapeSign, tapeWords } from './tape_words.js';

const FOOT_M = 0.3048;
const LENGTH = /^[-+]?(\d+([.,]\d*)?|[.,]\d+)$/;
const MOST_M = 500;

/** A typed length as {lengthM}, or {fault}, a sentence; `what` names it: 'the distance from r4a'. */
export function lengthTyped(text, unit, what) {
  const typed = text.trim();
  if (typed === '') return { fault: `Type ${what}.` };
  if (!LENGTH.test(typed)) return { fault: `'${typed}' is no length: type ${what} in figures, such as ${unit === 'foot' ? '24.35' : '7.42'} ${tapeSign(unit)}.` };
  const lengthM = Number(typed.replace(',', '.')) * (unit === 'foot' ? FOOT_M : 1);
  if (Math.abs(lengthM) > MOST_M) return { fault: `${tapeWords(lengthM, unit)} is longer than any tape: type ${what} again.` };
  return { lengthM };
}
