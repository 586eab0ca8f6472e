// How far a curve reaches in a direction, exact on the true curve. Twin of fieldapp/outline/span.py.

import { xAt, yAt } from './pieces.js';

/** How far some pieces of a curve reach in the direction of a unit vector, from the curve's origin, course metres. */
export function farthest(pieces, unitX, unitY) {
  let greatest = -Infinity;
  for (const piece of pieces) {
    greatest = Math.max(greatest, ahead(piece, 0, unitX, unitY), ahead(piece, 1, unitX, unitY));
    for (const u of turns(piece, unitX, unitY)) if (u > 0 && u < 1) greatest = Math.max(greatest, ahead(piece, u, unitX, unitY));
  }
  return greatest;
}

const ahead = (piece, u, unitX, unitY) => xAt(piece, u) * unitX + yAt(piece, u) * unitY;

/**
 * The pieces that may reach farthest in the direction of a unit vector, or in one within `reachDeg` of it. `steps` trace the curve
 * within `sagittaM`.
 */
export function outerPieces(curve, steps, sagittaM, unitX, unitY, reachDeg) {
  const { xs, ys, piece } = steps;
  let [most, leftmost, rightmost] = [-Infinity, Infinity, -Infinity];
  for (let i = 0; i < xs.length; i += 1) {
    const aside = xs[i] * unitY - ys[i] * unitX;
    most = Math.max(most, xs[i] * unitX + ys[i] * unitY);
    leftmost = Math.min(leftmost, aside);
    rightmost = Math.max(rightmost, aside);
  }
  const limit = most - (rightmost - leftmost) * Math.tan((reachDeg * Math.PI) / 180) - 2 * sagittaM;
  const outer = [];
  for (let i = 0; i < xs.length; i += 1) {
    if (xs[i] * unitX + ys[i] * unitY < limit) continue;
    if (i > 0 && piece[i - 1] !== outer.at(-1)) outer.push(piece[i - 1]);
    if (i < piece.length && piece[i] !== outer.at(-1)) outer.push(piece[i]);
  }
  return outer.map((number) => curve.pieces[number]);
}

/** Where a piece turns back, seen in a direction; a u outside of 0 to 1 lies beyond its ends. */
const turns = (piece, unitX, unitY) => (piece.arc === null ? cubicTurns(piece, unitX, unitY) : arcTurns(piece.arc, unitX, unitY));

function cubicTurns(piece, unitX, unitY) {
  const [one, two, three] = [piece.x1 * unitX + piece.y1 * unitY, piece.x2 * unitX + piece.y2 * unitY, piece.x3 * unitX + piece.y3 * unitY];
  const inner = two * two - 3 * three * one;
  if (inner < 0) return [];
  const sum = -(two + Math.sign(two || 1) * Math.sqrt(inner));
  return [sum / (3 * three), one / sum];
}

function arcTurns({ first, sweep }, unitX, unitY) {
  const angle = Math.atan2(unitY, unitX);
  const turn = Math.PI / Math.abs(sweep);
  const start = (((sweep > 0 ? angle - first : first - angle) % Math.PI) / Math.abs(sweep) + 2 * turn) % turn;
  return [start, start + turn, start + 2 * turn];
}
