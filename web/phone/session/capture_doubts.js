// Why a line may be refused when it is looked at to be confirmed: it crosses itself, holds nothing, is not round, lies elsewhere.

import { alongAndOff } from '../geometry/offset.js';
import { lineThrough, STEPS, withoutRepeats } from '../geometry/smooth_line.js';
import { isWalk, LEAST_POINTS } from './capture_draft.js';
import { isRound, walkedM } from './capture_walk.js';
import { FAR_M } from './capture_words.js';
import { bunkerOf } from './job.js';
import { groundWords } from './lengths.js';

/** A closed line that leaves a straight one by less than this share of its length holds nothing: a choice, no source. */
const STRAIGHT = 0.02;

/** Sentences about a line that is not likely to be confirmed; none of one with too few points. */
export function doubtsOf(job, draft) {
  const places = isWalk(draft) ? draft.fixes : draft.points;
  if (places.length < LEAST_POINTS) return [];
  const strip = stripWords(places, draft);
  const own = isWalk(draft) ? notRoundWords(job, draft) : strip === null ? crossingWords(draft) : null;
  return [own, strip, awayWords(job, draft, places)].filter(Boolean);
}

function notRoundWords(job, draft) {
  const { ground_scale: scale } = job.bundle.frame;
  if (!draft.closed || isRound(draft, scale)) return null;
  const { lengthM, fromBeginM } = walkedM(draft, scale);
  const [walked, apart] = [lengthM, fromBeginM].map((m) => groundWords(m, job.bundle.site.units.ground, draft.fixes.at(-1).withinM));
  return `You have not come back to where you began: you walked ${walked} and are ${apart} from there.`;
}

/** Words where a closed line holds nothing, its places all near the line from the first to the one farthest from it. */
function stripWords(places, { closed }) {
  const [{ x: x0, y: y0 }] = places;
  const away = places.map(({ x, y }) => Math.sqrt((x - x0) ** 2 + (y - y0) ** 2));
  const longest = Math.max(...away);
  const far = places[away.indexOf(longest)];
  const offs = places.map(({ x, y }) => Math.abs((far.x - x0) * (y - y0) - (far.y - y0) * (x - x0)));
  return closed && Math.max(...offs) <= STRAIGHT * longest ** 2 ? 'It all lies in one straight line: nothing lies inside.' : null;
}

/** Words where all of the line lies far from the drawn one, or a point of it. */
function awayWords(job, draft, places) {
  const outline = bunkerOf(job).outlines.find(({ id }) => id === draft.outline);
  if (outline === undefined) return null;
  const offs = places.map(({ x, y }) => Math.abs(alongAndOff(outline.trace, outline.closed, outline.length_m, x, y).offM) * job.bundle.frame.ground_scale);
  const [nearest, farthest] = [Math.min(...offs), Math.max(...offs)];
  const words = (m) => groundWords(m, job.bundle.site.units.ground, 0.1);
  if (nearest > FAR_M) return `It lies ${words(nearest)} from the drawn line of ${bunkerOf(job).name}.`;
  const which = isWalk(draft) ? 'A position' : `Point ${offs.indexOf(farthest) + 1}`;
  return farthest > FAR_M ? `${which} lies ${words(farthest)} from the drawn line.` : null;
}

/** Words where the line through the measured points crosses itself, naming them; null where it does not. */
export function crossingWords({ points, closed, curve }) {
  const stretches = stretchesOf(points, curve, closed);
  for (const [i, one] of stretches.entries()) {
    const other = stretches.slice(i + 1).find((next) => doMeet(one, next));
    if (other !== undefined) return `The line crosses itself: from point ${one.from} to ${one.to} it meets the way from ${other.from} to ${other.to}. Points must come in order round the line.`;
  }
  return null;
}

/** The way from each point to the next as {from, to: numbers, chords, box}. */
function stretchesOf(points, curve, closed) {
  const kept = withoutRepeats(points, closed);
  const numbers = kept.map((point) => points.indexOf(point) + 1);
  const line = lineThrough(kept, curve, closed && kept.length > 2);
  const steps = curve === 'straight' || kept.length < 3 ? 1 : STEPS;
  return Array.from({ length: (line.length - 1) / steps }, (_, i) => {
    const way = line.slice(i * steps, (i + 1) * steps + 1);
    const [xs, ys] = [way.map(({ x }) => x), way.map(({ y }) => y)];
    return {
      from: numbers[i], to: numbers[(i + 1) % numbers.length], chords: way.slice(1).map((end, at) => [way[at], end]),
      box: [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)],
    };
  });
}

function doMeet({ chords, box: [left, right, low, high] }, other) {
  if (other.box[0] > right || other.box[1] < left || other.box[2] > high || other.box[3] < low) return false;
  return chords.some((one) => other.chords.some((next) => !isJoint(one, next) && doCross(one, next)));
}

const isJoint = ([a, b], [c, d]) => b === c || d === a || isAt(b, c) || isAt(d, a);

const isAt = (p, q) => p.x === q.x && p.y === q.y;

function doCross([a, b], [c, d]) {
  const side = (p, q, r) => Math.sign((q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x));
  return side(a, b, c) !== side(a, b, d) && side(c, d, a) !== side(c, d, b);
}
