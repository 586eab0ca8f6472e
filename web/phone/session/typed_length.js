// Lengths as they are read on a tape: typed in the site's unit, and said to the centimetre or the hundredth of a foot.

const FOOT_M = 0.3048;
const LENGTH = /^[-+]?(\d+([.,]\d*)?|[.,]\d+)$/;
const MOST_M = 500;

const unitM = (unit) => (unit === 'foot' ? FOOT_M : 1);

/** The sign of the ground's unit. */
export const tapeSign = (unit) => (unit === 'foot' ? 'ft' : 'm');

/** A typed length as {lengthM}, or {fault}, a sentence; `what` names it: 'the distance from r4a'. */
export function lengthTyped(text, unit, what) {
  const typed = text.trim();
  if (typed === '') return { fault: `Type ${what}.` };
  if (!LENGTH.test(typed)) return { fault: `'${typed}' is no length: type ${what} in figures, such as ${unit === 'foot' ? '24.35' : '7.42'}.` };
  const lengthM = Number(typed.replace(',', '.')) * unitM(unit);
  if (Math.abs(lengthM) > MOST_M) return { fault: `${typed} ${tapeSign(unit)} is longer than any tape: see where the point belongs in ${what}.` };
  return { lengthM };
}

/** A taped length without its unit: '7.42'. */
export function tapeFigure(lengthM, unit) {
  const figure = (lengthM / unitM(unit)).toFixed(2);
  return figure === '-0.00' ? '0.00' : figure;
}

/** The same with its unit: '7.42 m'. */
export const tapeWords = (lengthM, unit) => `${tapeFigure(lengthM, unit)} ${tapeSign(unit)}`;
