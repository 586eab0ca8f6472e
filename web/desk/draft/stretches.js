// Stretches of an outline, from one point to another in their order: laid straight, or smoothed.

import { pointOf, roleOf } from './outlines.js';

const PASSES = 2;

/**
 * The outline with a stretch laid straight: its ends stay and become corners (but not an end of an open outline), the points
 * between become plain ones on the straight between them, apart from each other as they were along the old way.
 */
export function straightened(outline, from, to) {
  const stretch = stretchOf(outline, from, to);
  const places = spreadOn([outline.points[stretch[0]], outline.points[stretch.at(-1)]], sharesOf(stretch.map((index) => outline.points[index])));
  const isEnd = (index) => !outline.closed && (index === 0 || index === outline.points.length - 1);
  return withStretch(outline, stretch, places, (at, index) => (at > 0 && at < stretch.length - 1 ? 'plain' : isEnd(index) ? 'plain' : 'corner'));
}

/**
 * The outline with a stretch smoothed, by this rule: its corners and arcs go; each point between its ends moves half of the
 * way to the middle of its two neighbours, twice; then the points between are spread evenly along that way. The ends stay
 * in their places and their number stays. A straight outline becomes a smooth one whose other points are corners, the ends
 * of the stretch too, so that it stays as drawn outside of the stretch; smoothed from first to last it keeps none.
 */
export function smoothened(outline, from, to) {
  const stretch = stretchOf(outline, from, to);
  const softer = evened(softened(stretch.map((index) => outline.points[index])));
  const isWhole = stretch.length === outline.points.length;
  if (outline.curve === 'smooth' || isWhole) return withStretch({ ...outline, curve: 'smooth' }, stretch, softer, () => 'plain');
  const points = outline.points.map((point) => (roleOf(point) === 'plain' ? pointOf(point[0], point[1], 'corner') : point));
  const roleAt = (at) => (at > 0 && at < stretch.length - 1 ? 'plain' : 'corner');
  return withStretch({ ...outline, curve: 'smooth', points }, stretch, softer, roleAt);
}

/** The indices from one point to another; of a closed outline they run on over the end of the list, of an open one they rise. */
function stretchOf({ points, closed }, from, to) {
  const isThere = (index) => Number.isInteger(index) && index >= 0 && index < points.length;
  if (!isThere(from) || !isThere(to)) throw new RangeError(`The outline has points 1 to ${points.length}; choose the ends of the stretch among them.`);
  const [first, last] = closed || from <= to ? [from, to] : [to, from];
  const count = ((last - first + points.length) % points.length) + 1;
  return Array.from({ length: count }, (_, step) => (first + step) % points.length);
}

function withStretch(outline, stretch, places, roleAt) {
  const points = [...outline.points];
  stretch.forEach((index, at) => { points[index] = pointOf(...places[at], roleAt(at, index)); });
  return { ...outline, points };
}

const apart = (a, b) => Math.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2);

/** How much of the way each point has behind it, 0 to 1. */
function sharesOf(points) {
  const run = points.reduce((sums, point, at) => [...sums, at === 0 ? 0 : sums[at - 1] + apart(points[at - 1], point)], []);
  const whole = run.at(-1);
  return run.map((length, at) => (whole > 0 ? length / whole : at / Math.max(1, run.length - 1)));
}

const between = (a, b, share) => [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];

/** Places at shares of the way along a chain of points; its ends are kept as they are. */
function spreadOn(chain, shares) {
  const along = sharesOf(chain);
  return shares.map((share, at) => {
    if (at === 0) return [chain[0][0], chain[0][1]];
    if (at === shares.length - 1) return [chain.at(-1)[0], chain.at(-1)[1]];
    const leg = Math.min(chain.length - 2, Math.max(0, along.findLastIndex((value) => value <= share)));
    const width = along[leg + 1] - along[leg];
    return between(chain[leg], chain[leg + 1], width > 0 ? (share - along[leg]) / width : 0);
  });
}

function softened(points) {
  let softer = points;
  for (let pass = 0; pass < PASSES; pass += 1) {
    softer = softer.map((point, at, all) => (at === 0 || at === all.length - 1 ? point : between(point, between(all[at - 1], all[at + 1], 0.5), 0.5)));
  }
  return softer;
}

const evened = (points) => spreadOn(points, points.map((_, at) => at / Math.max(1, points.length - 1)));
