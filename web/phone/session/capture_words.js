// What is said of a captured line: how it was measured, how true it is, how far it lies from the drawn one.

import { alongAndOff } from '../geometry/offset.js';
import { lineThrough } from '../geometry/smooth_line.js';
import { isWalk, LEAST_POINTS } from './capture_draft.js';
import { walkedM, walkWithinM } from './capture_walk.js';
import { bunkerOf, calledIn } from './job.js';
import { groundWords, radiusWords } from './lengths.js';
import { errorRangeWords, tapeWords } from './tape_words.js';

const FINE_STEPS = 32;

/** 'sand edge', and where a bunker has two of a kind its id as well. */
export function outlineWords(job, outlineId) {
  const bunker = bunkerOf(job);
  const outline = bunker.outlines.find(({ id }) => id === outlineId);
  return outline === undefined ? outlineId : calledIn(bunker, outline);
}

/** How much there is: '6 points', '84 positions'. */
export function countWords(draft) {
  const [count, noun] = isWalk(draft) ? [draft.fixes.length, 'position'] : [draft.points.length, 'point'];
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}

/** How a point was measured, in words. */
export function pointWords({ by, pegs: [one, other], distancesM: [first, second], side, withinM }, unit) {
  if (by === 'reading') return `by position, ${withinM === null ? 'no accuracy figure' : `within ${radiusWords(withinM, unit)}`}`;
  if (by === 'ties') return `${one} ${tapeWords(first, unit)}, ${other} ${tapeWords(second, unit)}, ${side}`;
  return `${one} to ${other}: along ${tapeWords(first, unit)}, ${tapeWords(Math.abs(second), unit)} ${second < 0 ? 'left' : 'right'}`;
}

/** Why it cannot be saved yet, or null. */
export function tooFewWords(draft) {
  const count = (isWalk(draft) ? draft.fixes : draft.points).length;
  if (count >= LEAST_POINTS) return null;
  if (isWalk(draft)) return 'Too little was walked yet to be a line.';
  const many = ['No point has', 'One point has', 'Two points have'][count];
  return `${many} no shape: measure three at least, better twelve.`;
}

/** How true the line is, as a strip shows it: {kind, title, detail}. */
export function truthOf(draft, unit) {
  return isWalk(draft) ? walkTruth(walkWithinM(draft), unit) : pointsTruth(draft.points, unit);
}

/** From here on a line is told to be a rough one: the tapes do better than that by far. */
const ROUGH_M = 0.25;

function walkTruth(withinM, unit) {
  if (withinM === null) return cannotTell('How true it is cannot be told', 'This receiver gives no accuracy figure. Tape it instead.');
  const words = `± ${radiusWords(withinM, unit)}`;
  if (withinM <= ROUGH_M) return { kind: 'inside', title: `${words} (95 %)`, detail: 'By this receiver. Two tapes are as good or better.' };
  return cannotTell(`${words}; ties are better`, 'The line may lie and bend that far out (95 %). Two tapes are good to a few centimetres.');
}

const cannotTell = (title, detail) => ({ kind: 'cannot tell', title, detail });

const BETTER = {
  line: 'Far off the string a square goes wrong: use two tapes there.',
  ties: 'The tapes hardly cross there: tape it from other pegs.',
  reading: 'Tape it instead.',
};

function pointsTruth(points, unit) {
  if (points.length === 0) return cannotTell('Nothing measured yet', 'Tape the first point.');
  const radii = points.map(({ withinM }) => withinM);
  if (radii.includes(null)) return cannotTell('How true it is cannot be told', 'A point was taken by a receiver without an accuracy figure.');
  const worst = radii.indexOf(Math.max(...radii));
  const title = `Points within ${errorRangeWords(Math.min(...radii), radii[worst], unit)} (95 %)`;
  return radii[worst] <= ROUGH_M
    ? { kind: 'inside', title, detail: `Among these pegs${points.some(({ by }) => by === 'line') ? ', squares set by 3-4-5' : ''}. Between two points it is drawn, not measured.` }
    : cannotTell(title, `Point ${worst + 1} is the worst. ${BETTER[points[worst].by]}`);
}

/** What there is to know of the line beside the drawn one: rows [name, words]. */
export function captureFacts(job, draft) {
  const unit = job.bundle.site.units.ground;
  const { ground_scale: scale } = job.bundle.frame;
  const outline = bunkerOf(job).outlines.find(({ id }) => id === draft.outline);
  const places = isWalk(draft) ? draft.fixes : draft.points;
  if (outline === undefined || places.length < LEAST_POINTS) return [];
  const radius = Math.max(0.01, ...places.map(({ withinM }) => withinM ?? 0));
  const words = isWalk(draft) ? (m) => groundWords(m, unit, radius) : (m) => tapeWords(m, unit);
  const drawn = isWalk(draft) ? places : lineThrough(places, draft.curve, draft.closed, FINE_STEPS);
  const line = !isWalk(draft) && draft.curve === 'straight' ? drawn.slice(0, 1).concat(drawn.slice(1).flatMap((end, i) => between(drawn[i], end))) : drawn;
  const sides = outline.closed ? ['outside', 'inside'] : ['right of', 'left of'];
  const far = farthestM(outline, line).map((m) => m * scale).map((m, i) => `${words(m)} ${sides[i]}`);
  return [
    ['Beside the drawn line', `up to ${far.join(', ')}${outline.closed ? '' : ' it'}`],
    isWalk(draft)
      ? ['Walked', `${words(walkedM(draft, scale).lengthM)}, ${countWords(draft)}`]
      : ['Widest gap between points', words(Math.max(...gapsM(places, draft.closed, scale)))],
  ];
}

/** How far a line leaves the drawn one to either side, course metres; between two vertices the farthest is looked for again. */
function farthestM(outline, line) {
  const offOf = ({ x, y }) => alongAndOff(outline.trace, outline.closed, outline.length_m, x, y).offM;
  const offs = line.map(offOf);
  return [1, -1].map((side) => {
    const sided = offs.map((off) => side * off);
    const at = sided.indexOf(Math.max(...sided));
    const isRing = line[0].x === line.at(-1).x && line[0].y === line.at(-1).y;
    const beside = [line[at - 1] ?? (isRing ? line.at(-2) : undefined), line[at + 1]].filter(Boolean);
    const near = beside.flatMap((end) => between(line[at], end));
    return Math.max(0, sided[at], ...near.map((place) => side * offOf(place)));
  });
}

const between = (a, b) => Array.from({ length: FINE_STEPS }, (_, i) => ({ x: a.x + ((b.x - a.x) * (i + 1)) / FINE_STEPS, y: a.y + ((b.y - a.y) * (i + 1)) / FINE_STEPS }));

function gapsM(places, closed, scale) {
  const after = closed ? [...places.slice(1), places[0]] : places.slice(1);
  return after.map(({ x, y }, i) => Math.sqrt((x - places[i].x) ** 2 + (y - places[i].y) ** 2) * scale);
}

/** From here on a point is told to lie far off: a figure or a side is likely wrong. */
export const FAR_M = 10;

/** Words where a point lies so far from the drawn line that a figure is likely wrong; null where it does not. */
export function farWords(job, draft, { x, y }) {
  const outline = bunkerOf(job).outlines.find(({ id }) => id === draft.outline);
  if (outline === undefined) return null;
  const offM = Math.abs(alongAndOff(outline.trace, outline.closed, outline.length_m, x, y).offM) * job.bundle.frame.ground_scale;
  return offM <= FAR_M ? null : `That lies ${groundWords(offM, job.bundle.site.units.ground, null)} from the drawn line. See the figures and the side, or press again.`;
}
