// How far a curve reaches in a direction, exact on the true curve. Twin of fieldapp/outline/span.py.

import { bend, xAt, yAt } from './pieces.js';

/**
 * The pieces of a curve with their ends, less the curve's origin, and how far at most each leaves the chord between them: its
 * second derivative by u at most, over 8.
 */
export function chordsOf(curve) {
  return curve.pieces.map((piece) => (
    { piece, startX: xAt(piece, 0), startY: yAt(piece, 0), endX: xAt(piece, 1), endY: yAt(piece, 1), leaves: bend(piece) / 8 }));
}

const startOf = (chord, unitX, unitY) => chord.startX * unitX + chord.startY * unitY;
const endOf = (chord, unitX, unitY) => chord.endX * unitX + chord.endY * unitY;
const outerOf = (chord, unitX, unitY) => Math.max(startOf(chord, unitX, unitY), endOf(chord, unitX, unitY));

/** How far some pieces reach in the direction of a unit vector, from the curve's origin, course metres. */
export function farthest(chords, unitX, unitY) {
  let greatest = -Infinity;
  for (let i = 0; i < chords.length; i += 1) greatest = Math.max(greatest, outerOf(chords[i], unitX, unitY));
  for (let i = 0; i < chords.length; i += 1) {
    if (outerOf(chords[i], unitX, unitY) + chords[i].leaves > greatest) greatest = Math.max(greatest, withinOf(chords[i].piece, unitX, unitY));
  }
  return greatest;
}

/** How far a piece reaches where it turns back between its ends. */
const withinOf = (piece, unitX, unitY) => turns(piece, unitX, unitY)
  .reduce((most, u) => (u > 0 && u < 1 ? Math.max(most, xAt(piece, u) * unitX + yAt(piece, u) * unitY) : most), -Infinity);

/** Those of the pieces of a curve that may reach farthest in the direction of a unit vector, or in one within `reachDeg` of it. */
export function outerChords(chords, unitX, unitY, reachDeg) {
  let [most, left, right, leaves] = [-Infinity, Infinity, -Infinity, 0];
  for (const chord of chords) {
    const aside = endOf(chord, unitY, -unitX);
    most = Math.max(most, outerOf(chord, unitX, unitY));
    left = Math.min(left, aside, startOf(chord, unitY, -unitX));
    right = Math.max(right, aside, startOf(chord, unitY, -unitX));
    leaves = Math.max(leaves, chord.leaves);
  }
  const band = (right - left + 2 * leaves) * Math.tan((reachDeg * Math.PI) / 180);
  return chords.filter((chord) => outerOf(chord, unitX, unitY) + chord.leaves >= most - band);
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
