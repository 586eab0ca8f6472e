// A line through points in order, as fieldapp/outline/pieces.py draws it: centripetal Catmull-Rom where smooth.

const STEPS = 8;

/** The vertices [{x, y}] of a line through `points` [{x, y}]; `curve` is 'smooth' or 'straight'. A closed one ends where it begins. */
export function lineThrough(points, curve, closed) {
  if (points.length < 2) return points;
  if (curve === 'straight' || points.length < 3) return closed && points.length > 2 ? [...points, points[0]] : points;
  const ring = closed ? [points.at(-1), ...points, points[0], points[1]] : [mirrored(points[1], points[0]), ...points, mirrored(points.at(-2), points.at(-1))];
  const pieces = ring.slice(1, -2).flatMap((_, i) => pieceOf(ring.slice(i, i + 4)));
  return [...pieces, ring.at(-2)];
}

const mirrored = (from, at) => ({ x: 2 * at.x - from.x, y: 2 * at.y - from.y });

/** The vertices of the piece from the second of four points up to, but without, the third. */
function pieceOf([before, start, end, after]) {
  const knots = [[before, start], [start, end], [end, after]].map(([a, b]) => Math.sqrt(Math.sqrt((b.x - a.x) ** 2 + (b.y - a.y) ** 2)));
  const [leaving, arriving] = ['x', 'y'].reduce(([l, a], axis) => {
    const chords = [start[axis] - before[axis], end[axis] - start[axis], after[axis] - end[axis]];
    return [{ ...l, [axis]: tangent(chords, knots, 0) * knots[1] }, { ...a, [axis]: tangent(chords, knots, 1) * knots[1] }];
  }, [{}, {}]);
  return Array.from({ length: STEPS }, (_, i) => onPiece(start, end, leaving, arriving, i / STEPS));
}

/** The derivative by the knots at the joint of chords i and i + 1. */
const tangent = (chords, knots, i) => chords[i] / knots[i] - (chords[i] + chords[i + 1]) / (knots[i] + knots[i + 1]) + chords[i + 1] / knots[i + 1];

/** Hermite's cubic at u of 0 to 1. */
function onPiece(start, end, leaving, arriving, u) {
  const at = (axis) => {
    const chord = end[axis] - start[axis];
    return start[axis] + u * (leaving[axis] + u * (3 * chord - 2 * leaving[axis] - arriving[axis] + u * (leaving[axis] + arriving[axis] - 2 * chord)));
  };
  return { x: at('x'), y: at('y') };
}
