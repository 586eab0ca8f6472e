// Where a traced outline crosses or touches itself. Twin of not_crossing in fieldapp/outline/curve.py.

import { ascending } from './ascending.js';

/** The place [x, y] where a chain of places `xs`, `ys` first meets itself, null where it does not; a closed one ends where it begins. */
export function meetsItself(xs, ys, closed) {
  const last = xs.length - 2;
  const left = new Float64Array(last + 1);
  for (let i = 0; i <= last; i += 1) left[i] = Math.min(xs[i], xs[i + 1]);
  const order = ascending(left);
  for (let a = 0; a <= last; a += 1) {
    const i = order[a];
    const right = Math.max(xs[i], xs[i + 1]);
    for (let b = a + 1; b <= last && left[order[b]] <= right; b += 1) {
      const met = meeting(xs, ys, Math.min(i, order[b]), Math.max(i, order[b]), closed, last);
      if (met !== null) return met;
    }
  }
  return null;
}

/** Where two chords meet, i before j; neighbours meet only where one turns back along the other. */
function meeting(xs, ys, i, j, closed, last) {
  if (Math.max(ys[i], ys[i + 1]) < Math.min(ys[j], ys[j + 1]) || Math.max(ys[j], ys[j + 1]) < Math.min(ys[i], ys[i + 1])) return null;
  if (j === i + 1) return turnsBack(xs, ys, i, i + 1, j + 1);
  if (closed && i === 0 && j === last) return turnsBack(xs, ys, last, 0, 1);
  const startI = leftOf(xs, ys, j, i);
  const endI = leftOf(xs, ys, j, i + 1);
  if (startI * endI > 0 || leftOf(xs, ys, i, j) * leftOf(xs, ys, i, j + 1) > 0) return null;
  if (startI === 0 && endI === 0 && !overlap(xs, ys, i, j)) return null;
  const share = startI === endI ? 0 : startI / (startI - endI);
  return [xs[i] + share * (xs[i + 1] - xs[i]), ys[i] + share * (ys[i + 1] - ys[i])];
}

const overlap = (xs, ys, i, j) => Math.max(xs[j], xs[j + 1]) >= Math.min(xs[i], xs[i + 1]) && Math.max(ys[j], ys[j + 1]) >= Math.min(ys[i], ys[i + 1]);

const leftOf = (xs, ys, chord, k) => (xs[chord + 1] - xs[chord]) * (ys[k] - ys[chord]) - (ys[chord + 1] - ys[chord]) * (xs[k] - xs[chord]);

function turnsBack(xs, ys, a, b, c) {
  const [ux, uy, vx, vy] = [xs[b] - xs[a], ys[b] - ys[a], xs[c] - xs[b], ys[c] - ys[b]];
  return ux * vy - uy * vx === 0 && ux * vx + uy * vy < 0 ? [xs[b], ys[b]] : null;
}
