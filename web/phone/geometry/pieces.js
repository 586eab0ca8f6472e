// Pieces of a curve: lines, cubics and arcs, each run through by u from 0 to 1. Twin of fieldapp/outline/pieces.py.
//
// A cubic is {x0..x3, y0..y3}: x = ((x3 u + x2) u + x1) u + x0. An arc has `arc` besides, {radius, first, sweep} in radians, about
// x0, y0; its other coefficients are 0.

import { mirrored, tangent } from './smooth_line.js';

const FLAT = 2e-6;
const length = (x, y) => Math.sqrt(x * x + y * y);

/** The straight piece between two places {x, y}. */
export function linePiece(a, b) {
  return { x0: a.x, x1: b.x - a.x, x2: 0, x3: 0, y0: a.y, y1: b.y - a.y, y2: 0, y3: 0, arc: null, after: 0 };
}

/** The centripetal Catmull-Rom pieces through places {x, y}; `closed` joins the last to the first. */
export function smoothPieces(points, closed) {
  const before = closed ? points.at(-1) : mirrored(points[1], points[0]);
  const after = closed ? [points[0], points[1]] : [mirrored(points.at(-2), points.at(-1))];
  const ring = [before, ...points, ...after];
  const knots = ring.slice(1).map((point, i) => Math.sqrt(length(point.x - ring[i].x, point.y - ring[i].y)));
  return ring.slice(1, -2).map((start, i) => smoothPiece(ring[i], start, ring[i + 2], ring[i + 3], knots.slice(i, i + 3)));
}

function smoothPiece(before, start, end, after, knots) {
  const chordsX = [start.x - before.x, end.x - start.x, after.x - end.x];
  const chordsY = [start.y - before.y, end.y - start.y, after.y - end.y];
  const x1 = tangent(chordsX, knots, 0) * knots[1];
  const y1 = tangent(chordsY, knots, 0) * knots[1];
  const x4 = tangent(chordsX, knots, 1) * knots[1];
  const y4 = tangent(chordsY, knots, 1) * knots[1];
  return {
    x0: start.x, x1, x2: 3 * chordsX[1] - 2 * x1 - x4, x3: x1 + x4 - 2 * chordsX[1],
    y0: start.y, y1, y2: 3 * chordsY[1] - 2 * y1 - y4, y3: y1 + y4 - 2 * chordsY[1], arc: null, after: 0,
  };
}

/** The circular arc from a place by another to a third, each {x, y}; null if they lie in a line. */
export function arcPiece(start, through, end) {
  const [bx, by, cx, cy] = [through.x - start.x, through.y - start.y, end.x - start.x, end.y - start.y];
  const cross = 2 * (bx * cy - by * cx);
  if (Math.abs(cross) <= FLAT * length(bx, by) * length(cx, cy)) return null;
  const [b2, c2] = [bx * bx + by * by, cx * cx + cy * cy];
  const [centreX, centreY] = [(cy * b2 - by * c2) / cross, (bx * c2 - cx * b2) / cross];
  const first = Math.atan2(-centreY, -centreX);
  const last = Math.atan2(cy - centreY, cx - centreX);
  const sweep = cross > 0 ? turnTo(last - first) : -turnTo(first - last);
  const arc = { radius: length(centreX, centreY), first, sweep };
  return { x0: start.x + centreX, x1: 0, x2: 0, x3: 0, y0: start.y + centreY, y1: 0, y2: 0, y3: 0, arc, after: 0 };
}

const turnTo = (angle) => ((angle % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI);

/** x at u. */
export function xAt(piece, u) {
  const wave = piece.arc === null ? 0 : piece.arc.radius * Math.cos(piece.arc.first + piece.arc.sweep * u);
  return ((piece.x3 * u + piece.x2) * u + piece.x1) * u + piece.x0 + wave;
}

/** y at u. */
export function yAt(piece, u) {
  const wave = piece.arc === null ? 0 : piece.arc.radius * Math.sin(piece.arc.first + piece.arc.sweep * u);
  return ((piece.y3 * u + piece.y2) * u + piece.y1) * u + piece.y0 + wave;
}

/** An upper bound of the length of the second derivative by u: a cubic's is greatest at one of its ends. */
export function bend(piece) {
  if (piece.arc !== null) return piece.arc.sweep ** 2 * piece.arc.radius;
  const start = length(2 * piece.x2, 2 * piece.y2);
  return Math.max(start, length(2 * piece.x2 + 6 * piece.x3, 2 * piece.y2 + 6 * piece.y3));
}
