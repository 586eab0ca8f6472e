// Measures of an outline: area, length and axes, on the true curve. Twin of fieldapp/outline/measure.py.

import { vertexHull, leastRectangle } from './hull.js';
import { stepsOf } from './curve.js';
import { bend } from './pieces.js';
import { chordsOf, farthest, outerChords } from './span.js';

const TRACE_SAGITTA_M = 1e-4;
/** How far round the best direction so far the next better one is looked for, in steps of a fifth of it. */
const SEARCHED_DEG = [2, 0.4, 0.08, 0.016];
const TRIED = [-5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5];
/** Into how many cells a piece is cut for its length, and one that bends by more than this part of its chord. */
const [CELLS, BENT_CELLS, BENT] = [2, 8, 0.25];
/** Nodes and weights of Gauss and Legendre for eight places from 0 to 1. */
const NODES = [0.1834346424956498, 0.525532409916329, 0.7966664774136267, 0.9602898564975363].flatMap((x) => [(1 - x) / 2, (1 + x) / 2]);
const WEIGHTS = [0.362683783378362, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763].flatMap((w) => [w / 2, w / 2]);
const AREA_NODES = [(1 - Math.sqrt(0.6)) / 2, 0.5, (1 + Math.sqrt(0.6)) / 2];
const AREA_WEIGHTS = [5 / 18, 8 / 18, 5 / 18];
const ROUND_SHARE = 0.95;
const DEGREES = 180 / Math.PI;

/**
 * {areaM2, perimeterM, longAxisM, shortAxisM, longAxisBearingDeg} of a built curve, course metres; the area of an open one is null. The
 * axes are the sides of the smallest rectangle round it, the bearing (0 up to 180) that of its longer side.
 */
export function measure(curve) {
  const { bearing, one, other } = smallestRectangle(curve);
  const isTurned = one < other;
  return {
    areaM2: curve.closed ? Math.abs(signedAreaM2(curve)) : null,
    perimeterM: lengthM(curve),
    longAxisM: isTurned ? other : one,
    shortAxisM: isTurned ? one : other,
    longAxisBearingDeg: (((isTurned ? bearing + 90 : bearing) % 180) + 180) % 180,
  };
}

/** Whether which of two axes is the long one says nothing. */
export const isNearlyRound = (longAxisM, shortAxisM) => shortAxisM >= ROUND_SHARE * longAxisM;

/** Length of a curve, course metres. */
export const lengthM = (curve) => curve.pieces.reduce((sum, piece) => sum + pieceLength(piece), 0);

/** Area by Green's theorem, exact; negative when the curve runs clockwise. */
export const signedAreaM2 = (curve) => curve.pieces.reduce((sum, piece) => sum + (piece.arc === null ? cubicArea(piece) : arcArea(piece)), 0) / 2;

function pieceLength(piece) {
  if (piece.arc !== null) return piece.arc.radius * Math.abs(piece.arc.sweep);
  const chord = Math.sqrt((piece.x1 + piece.x2 + piece.x3) ** 2 + (piece.y1 + piece.y2 + piece.y3) ** 2);
  const bent = bend(piece);
  if (bent === 0) return chord;
  const cells = bent > BENT * chord ? BENT_CELLS : CELLS;
  let sum = 0;
  for (let cell = 0; cell < cells; cell += 1) {
    for (let i = 0; i < NODES.length; i += 1) {
      const u = (cell + NODES[i]) / cells;
      const dx = (3 * piece.x3 * u + 2 * piece.x2) * u + piece.x1;
      const dy = (3 * piece.y3 * u + 2 * piece.y2) * u + piece.y1;
      sum += WEIGHTS[i] * Math.sqrt(dx * dx + dy * dy);
    }
  }
  return sum / cells;
}

/** x dy - y dx along a cubic: of degree five, so three nodes are exact. */
function cubicArea({ x0, x1, x2, x3, y0, y1, y2, y3 }) {
  let sum = 0;
  for (let i = 0; i < 3; i += 1) {
    const u = AREA_NODES[i];
    const x = ((x3 * u + x2) * u + x1) * u + x0;
    const y = ((y3 * u + y2) * u + y1) * u + y0;
    sum += AREA_WEIGHTS[i] * (x * ((3 * y3 * u + 2 * y2) * u + y1) - y * ((3 * x3 * u + 2 * x2) * u + x1));
  }
  return sum;
}

function arcArea({ x0, y0, arc: { radius, first, sweep } }) {
  const last = first + sweep;
  return radius * (radius * sweep + x0 * (Math.sin(last) - Math.sin(first)) - y0 * (Math.cos(last) - Math.cos(first)));
}

/** The course bearing of one side of the smallest rectangle round a curve, its length and the other's. */
function smallestRectangle(curve) {
  const steps = stepsOf(curve, TRACE_SAGITTA_M);
  let best = leastRectangle(vertexHull(steps.xs, steps.ys)) * DEGREES;
  let reach = SEARCHED_DEG.reduce((sum, deg) => sum + deg, 0);
  let sides = Array(4).fill(chordsOf(curve));
  const widths = (bearing) => {
    const [ahead, right, behind, left] = quarters(bearing).map(([x, y], side) => farthest(sides[side], x, y));
    return { bearing, one: ahead + behind, other: right + left };
  };
  const least = (some) => some.reduce((found, next) => (next.one * next.other < found.one * found.other ? next : found));
  for (const deg of SEARCHED_DEG) {
    sides = quarters(best).map(([x, y], side) => outerChords(sides[side], x, y, reach));
    best = least(TRIED.map((step) => widths(best + (deg * step) / 5))).bearing;
    reach -= deg;
  }
  return widths(best);
}

/** Unit vectors on a course bearing and, clockwise, on those square to it. */
function quarters(bearingDeg) {
  const [x, y] = [Math.sin(bearingDeg / DEGREES), Math.cos(bearingDeg / DEGREES)];
  return [[x, y], [y, -x], [-x, -y], [-y, x]];
}
