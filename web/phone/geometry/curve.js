// A curve through the control points of an outline, traced by chords. Twin of fieldapp/outline/curve.py.

import { checkedPoints } from './control_points.js';
import { arcPiece, bend, linePiece, smoothPieces, xAt, yAt } from './pieces.js';

/**
 * {closed, origin, pieces} of a drawn outline, or {fault}: why there is none, in words. Points are [x, y] or [x, y, role], course
 * metres; `curve` is 'smooth' or 'straight'. The pieces' places are less the origin [x, y]; each says after which point it
 * comes (`after`). A closed one runs as it is drawn; Python's is turned clockwise.
 */
export function buildCurve({ points: given, curve, closed }) {
  const { fault, points } = checkedPoints(given, closed);
  if (fault !== undefined) return { fault };
  const [originX, originY] = [points[0].x, points[0].y];
  const own = points.map(({ x, y, role }, index) => ({ x: x - originX, y: y - originY, role, index }));
  const breaks = own.map((_, index) => index).filter((index) => breaksAt(own, index, curve));
  if (closed && curve === 'smooth' && breaks.length === 0) return { closed, origin: [originX, originY], pieces: numbered(smoothPieces(own, true), own) };
  const runs = runsOf(own, breaks, closed);
  const parts = runs.map((run) => partOf(run, curve));
  const flat = runs[parts.indexOf(null)]?.[1];
  if (flat !== undefined) return { fault: wordsOfFlatArc(given[flat.index]) };
  return { closed, origin: [originX, originY], pieces: parts.flat() };
}

/** The trace as vertices [[x, y]…] in course metres whose chords leave the curve nowhere by more than `sagittaM`. */
export const vertices = (curve, sagittaM) => placesOf(curve, stepsOf(curve, sagittaM));

/** The places [[x, y]…] of a trace in steps, course metres. */
export function placesOf({ origin }, { xs, ys }) {
  const places = [];
  for (let i = 0; i < xs.length; i += 1) places.push([xs[i] + origin[0], ys[i] + origin[1]]);
  return places;
}

/**
 * A trace in steps: places `xs`, `ys` less the curve's origin, from the very start to the very end, and for each of the steps between
 * them on which `piece` it runs and from which u, `low`, up to the next step's or the piece's end.
 */
export function stepsOf(curve, sagittaM) {
  const counts = curve.pieces.map((piece) => Math.max(1, Math.ceil(Math.sqrt(bend(piece) / (8 * sagittaM)))));
  const total = counts.reduce((sum, count) => sum + count, 0);
  const [xs, ys, low] = [total + 1, total + 1, total].map((size) => new Float64Array(size));
  const piece = new Int32Array(total);
  let at = 0;
  counts.forEach((count, number) => {
    for (let step = 0; step < count; step += 1, at += 1) {
      piece[at] = number;
      low[at] = step / count;
      xs[at] = xAt(curve.pieces[number], low[at]);
      ys[at] = yAt(curve.pieces[number], low[at]);
    }
  });
  xs[total] = xAt(curve.pieces.at(-1), 1);
  ys[total] = yAt(curve.pieces.at(-1), 1);
  return { xs, ys, piece, low };
}

/** The points in runs, each drawn by itself: from one end of an arc to its other, from corner to corner of a smooth curve. */
function runsOf(points, breaks, closed) {
  if (!closed) return cut(points, breaks);
  const first = breaks[0] ?? 0;
  return cut([...points.slice(first), ...points.slice(0, first + 1)], breaks.map((index) => index - first));
}

function cut(points, breaks) {
  const ends = [...new Set([0, ...breaks, points.length - 1])].sort((a, b) => a - b);
  return ends.slice(1).map((end, i) => points.slice(ends[i], end + 1));
}

function breaksAt(points, index, curve) {
  const { role } = points[index];
  const isAtArc = points.at(index - 1).role === 'through' || points[(index + 1) % points.length].role === 'through';
  return role !== 'through' && (isAtArc || (role === 'corner' && curve === 'smooth'));
}

/** The pieces of a run, null for an arc whose three points lie in a line. */
function partOf(run, curve) {
  if (run.length === 3 && run[1].role === 'through') {
    const arc = arcPiece(...run);
    return arc === null ? null : numbered([arc], run);
  }
  return numbered(curve === 'straight' ? run.slice(1).map((end, i) => linePiece(run[i], end)) : smoothPieces(run, false), run);
}

function numbered(pieces, run) {
  return pieces.map((piece, i) => {
    piece.after = run[i].index;
    return piece;
  });
}

function wordsOfFlatArc([x, y]) {
  return `The arc through x ${x.toFixed(3)}, y ${y.toFixed(3)} has its three points in one line; `
    + "move the 'through' point to the side or make it a plain point.";
}
