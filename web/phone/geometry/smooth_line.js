// A line through points in order, as fieldapp/outline/pieces.py draws it: centripetal Catmull-Rom where smooth.

export const STEPS = 16;
const SAME_M = 0.001;

/** The points without those that lie within a millimetre of the one before; of a closed line the last does not repeat the first. */
export function withoutRepeats(points, closed) {
  const kept = points.reduce((all, point) => (all.length > 0 && isSamePlace(all.at(-1), point) ? all : all.concat([point])), []);
  return closed && kept.length > 1 && isSamePlace(kept.at(-1), kept[0]) ? kept.slice(0, -1) : kept;
}

const isSamePlace = (a, b) => (b.x - a.x) ** 2 + (b.y - a.y) ** 2 < SAME_M ** 2;

/**
 * The vertices [{x, y}] of a line through `given` [{x, y}]; `curve` is 'smooth' or 'straight'. A closed one ends where it
 * begins. Points that only repeat the one before count once; a smooth piece from point to point has so many `steps`.
 */
export function lineThrough(given, curve, closed, steps = STEPS) {
  const points = withoutRepeats(given, closed);
  if (points.length < 2) return points;
  if (curve === 'straight' || points.length < 3) return closed && points.length > 2 ? [...points, points[0]] : points;
  const ring = closed ? [points.at(-1), ...points, points[0], points[1]] : [mirrored(points[1], points[0]), ...points, mirrored(points.at(-2), points.at(-1))];
  const pieces = ring.slice(1, -2).flatMap((_, i) => pieceOf(ring.slice(i, i + 4), steps));
  return [...pieces, ring.at(-2)];
}

export const mirrored = (from, at) => ({ x: 2 * at.x - from.x, y: 2 * at.y - from.y });

/** The vertices of the piece from the second of four points up to, but without, the third. */
function pieceOf([before, start, end, after], steps) {
  const knots = [[before, start], [start, end], [end, after]].map(([a, b]) => Math.sqrt(Math.sqrt((b.x - a.x) ** 2 + (b.y - a.y) ** 2)));
  const [leaving, arriving] = ['x', 'y'].reduce(([l, a], axis) => {
    const chords = [start[axis] - before[axis], end[axis] - start[axis], after[axis] - end[axis]];
    return [{ ...l, [axis]: tangent(chords, knots, 0) * knots[1] }, { ...a, [axis]: tangent(chords, knots, 1) * knots[1] }];
  }, [{}, {}]);
  return Array.from({ length: steps }, (_, i) => onPiece(start, end, leaving, arriving, i / steps));
}

/** The derivative by the knots at the joint of chords i and i + 1. */
export const tangent = (chords, knots, i) => chords[i] / knots[i] - (chords[i] + chords[i + 1]) / (knots[i] + knots[i + 1]) + chords[i + 1] / knots[i + 1];

/** Hermite's cubic at u of 0 to 1. */
function onPiece(start, end, leaving, arriving, u) {
  const at = (axis) => {
    const chord = end[axis] - start[axis];
    return start[axis] + u * (leaving[axis] + u * (3 * chord - 2 * leaving[axis] - arriving[axis] + u * (leaving[axis] + arriving[axis] - 2 * chord)));
  };
  return { x: at('x'), y: at('y') };
}
