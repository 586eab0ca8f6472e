// How near traced outlines come to a thing to keep clear of, or to a place. Twin of fieldapp/outline/clearance.py.

import { isInside } from './offset.js';

/** The nearest is first looked for at every so many vertices of a trace. */
const STRIDE = 16;

/**
 * {distanceM, bunkerAt, thingAt} in course metres: how near a trace of [x, y] comes to a thing's `points`; 0 where they cross or one
 * lies in the other. A closed trace, which ends where it begins, counts with all that lies within it; `extent` is 'point',
 * 'line' or 'area', an area with all within it too. `run` is `runOf(trace)`, for whoever keeps it.
 */
export function nearness(trace, closed, { extent, points }, run = runOf(trace)) {
  const chain = extent === 'area' ? [...points, points[0]] : points;
  const within = closed ? chain.find(([x, y]) => isInside(trace, x, y)) : undefined;
  if (within !== undefined) return { distanceM: 0, bunkerAt: within, thingAt: within };
  if (extent === 'area' && isInside(chain, trace[0][0], trace[0][1])) return { distanceM: 0, bunkerAt: trace[0], thingAt: trace[0] };
  return lineNearness(trace, chain, run);
}

/** The same for two lines, with nothing within them; a line of one point is that place. */
export function lineNearness(trace, chain, run = runOf(trace)) {
  const best = { distanceM: Infinity, bunkerAt: null, thingAt: null };
  for (let k = 0; k === 0 || k + 1 < chain.length; k += 1) nearer(trace, run, chain[k], chain[k + 1] ?? chain[k], best);
  return best;
}

/** How long a trace has run at each of its vertices. */
export function runOf(trace) {
  const run = new Float64Array(trace.length);
  for (let i = 1; i < trace.length; i += 1) run[i] = run[i - 1] + Math.sqrt((trace[i][0] - trace[i - 1][0]) ** 2 + (trace[i][1] - trace[i - 1][1]) ** 2);
  return run;
}

/**
 * Better the best by one chord of a thing. Where a vertex lies farther away than the best, the trace comes no nearer until it
 * has run on by the difference: that stretch is passed over.
 */
function nearer(trace, run, a, b, best) {
  for (let i = 0; i < trace.length; i += STRIDE) placeToChord(trace[i], a, b, (distance, foot) => take(best, distance, trace[i], foot));
  let i = 0;
  while (i + 1 < trace.length && best.distanceM > 0) {
    const free = run[i] + placeToChord(trace[i], a, b) - best.distanceM;
    if (free <= run[i + 1]) chordToChord(trace[i], trace[i + 1], a, b, best);
    do i += 1; while (i + 1 < trace.length && run[i + 1] < free);
  }
}

function chordToChord(p, q, a, b, best) {
  const met = crossing(p, q, a, b);
  if (met !== null) take(best, 0, met, met);
  for (const end of [p, q]) placeToChord(end, a, b, (distance, foot) => take(best, distance, end, foot));
  for (const end of [a, b]) placeToChord(end, p, q, (distance, foot) => take(best, distance, foot, end));
}

/** How far a place lies from a chord; `tell` hears it and the nearest place of the chord. */
function placeToChord([x, y], [ax, ay], [bx, by], tell) {
  const [dx, dy, px, py] = [bx - ax, by - ay, x - ax, y - ay];
  const square = dx * dx + dy * dy;
  const share = square > 0 ? Math.min(1, Math.max(0, (px * dx + py * dy) / square)) : 0;
  const [ex, ey] = [px - share * dx, py - share * dy];
  const distance = Math.sqrt(ex * ex + ey * ey);
  tell?.(distance, [ax + share * dx, ay + share * dy]);
  return distance;
}

/** Where two chords cross, null where they do not. */
function crossing(p, q, a, b) {
  const [startSide, endSide] = [leftOf(a, b, p), leftOf(a, b, q)];
  if (startSide > 0 === endSide > 0 || leftOf(p, q, a) > 0 === leftOf(p, q, b) > 0) return null;
  const share = startSide / (startSide - endSide);
  return [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])];
}

const leftOf = ([ax, ay], [bx, by], [x, y]) => (bx - ax) * (y - ay) - (by - ay) * (x - ax);

function take(best, distanceM, bunkerAt, thingAt) {
  if (distanceM >= best.distanceM) return;
  best.distanceM = distanceM;
  best.bunkerAt = bunkerAt;
  best.thingAt = thingAt;
}
