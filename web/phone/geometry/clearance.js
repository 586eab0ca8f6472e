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
  const nearest = lineNearness(trace, chain, run);
  if (nearest.distanceM === 0) return nearest;
  const within = closed && isInside(trace, ...chain[0]) ? chain[0] : extent === 'area' && isInside(chain, ...trace[0]) ? trace[0] : null;
  return within === null ? nearest : { distanceM: 0, bunkerAt: within, thingAt: within };
}

/** The same for two lines, with nothing within them; a line of one point is that place. */
export function lineNearness(trace, chain, run = runOf(trace)) {
  const best = { distanceM: Infinity, bunkerAt: null, thingAt: null };
  for (let i = 0; i < trace.length; i += STRIDE) endToChord(trace[i], chain[0], chain[1] ?? chain[0], best, true);
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
  endToChord(trace[0], a, b, best, true);
  let i = 0;
  while (i + 1 < trace.length && best.distanceM > 0) {
    const free = run[i] + awayFrom(trace[i], a, b) - best.distanceM;
    if (free <= run[i + 1]) chordToChord(trace[i], trace[i + 1], a, b, best);
    do i += 1; while (i + 1 < trace.length && run[i + 1] < free);
  }
}

function chordToChord(p, q, a, b, best) {
  const met = crossing(p, q, a, b);
  if (met !== null) take(best, 0, met, met);
  endToChord(p, a, b, best, true);
  endToChord(q, a, b, best, true);
  endToChord(a, p, q, best, false);
  endToChord(b, p, q, best, false);
}

/** Better the best by the end of one chord and another chord; `isTrace` says whose end it is. */
function endToChord(end, a, b, best, isTrace) {
  const distance = awayFrom(end, a, b);
  if (distance >= best.distanceM) return;
  const share = shareOf(end, a, b);
  const foot = [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
  take(best, distance, isTrace ? end : foot, isTrace ? foot : end);
}

/** How much of the way from a to b lies behind the place of a chord that is nearest to another place. */
function shareOf(place, a, b) {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const square = dx * dx + dy * dy;
  return square > 0 ? Math.min(1, Math.max(0, ((place[0] - a[0]) * dx + (place[1] - a[1]) * dy) / square)) : 0;
}

function awayFrom(place, a, b) {
  const share = shareOf(place, a, b);
  const x = place[0] - a[0] - share * (b[0] - a[0]);
  const y = place[1] - a[1] - share * (b[1] - a[1]);
  return Math.sqrt(x * x + y * y);
}

/** Where two chords cross, null where they do not. */
function crossing(p, q, a, b) {
  const start = leftOf(a, b, p);
  const end = leftOf(a, b, q);
  if (start > 0 === end > 0 || leftOf(p, q, a) > 0 === leftOf(p, q, b) > 0) return null;
  const share = start / (start - end);
  return [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])];
}

const leftOf = (a, b, place) => (b[0] - a[0]) * (place[1] - a[1]) - (b[1] - a[1]) * (place[0] - a[0]);

function take(best, distanceM, bunkerAt, thingAt) {
  best.distanceM = distanceM;
  best.bunkerAt = bunkerAt;
  best.thingAt = thingAt;
}
