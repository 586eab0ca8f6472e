// Whether the compass can be believed: while somebody walks, the way they go is set against what it says.
//
// A phone is held more or less ahead, so the two may differ for a step. Over some metres of walking a steady difference
// is iron near by, a magnet in a cover, or a compass that wants turning about.

import { turnDeg } from './guidance.js';

const WRONG_DEG = 35;
const AGREES_DEG = 25;
const LEAST_WALK_M = 8;
const LEAST_STEPS = 3;
const WINDOW_M = 12;
const STEADY = 0.8;
const RADIANS = Math.PI / 180;

/** Nothing has been compared; `offDeg` is how far the compass was found off, null while it was not. */
export const uncompared = { steps: [], offDeg: null };

/** The check after a step of so many metres walked in a true direction while the compass said another. */
export function compareStep(check, { lengthM, walkedDeg, compassDeg }) {
  const steps = lastOf([...check.steps, { lengthM, offDeg: turnDeg(compassDeg - walkedDeg) }]);
  const found = meanOff(steps);
  if (found === null) return { steps, offDeg: check.offDeg };
  const size = Math.abs(found.deg);
  if (check.offDeg === null) return { steps, offDeg: found.isSteady && size > WRONG_DEG ? found.deg : null };
  return { steps, offDeg: found.isSteady && size < AGREES_DEG ? null : found.deg };
}

export const isCompassWrong = (check) => check.offDeg !== null;

/** What the page says of a wrong compass, or null. */
export function compassWords(check) {
  if (check.offDeg === null) return null;
  return `The compass is wrong here: ${Math.abs(check.offDeg).toFixed(0)}° off. Keep the phone away from metal.`;
}

/** The newest steps that make up the window. */
function lastOf(steps) {
  let walkedM = 0;
  const from = steps.findLastIndex(({ lengthM }) => {
    walkedM += lengthM;
    return walkedM >= WINDOW_M;
  });
  return steps.slice(Math.max(0, from));
}

/** Mean difference on the circle, weighted by length, and whether the steps agree about it; null when too little was walked. */
function meanOff(steps) {
  const walkedM = steps.reduce((sum, { lengthM }) => sum + lengthM, 0);
  if (walkedM < LEAST_WALK_M || steps.length < LEAST_STEPS) return null;
  const sum = (f) => steps.reduce((total, { lengthM, offDeg }) => total + lengthM * f(offDeg * RADIANS), 0) / walkedM;
  const [sin, cos] = [sum(Math.sin), sum(Math.cos)];
  return { deg: Math.atan2(sin, cos) / RADIANS, isSteady: Math.sqrt(sin * sin + cos * cos) >= STEADY };
}
