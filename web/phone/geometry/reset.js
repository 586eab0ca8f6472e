// A lost peg set again from distances taped to pegs that stand. Twin of fieldapp/tape/reset.py.

import { PARALLEL, crossingAngleDeg, intersect, pointCovariance } from './intersection.js';

/** Chi-square that is exceeded in 1 % of cases, by degrees of freedom from 1 on. */
const CRITICAL = [
  6.6348966010212145, 9.21034037197618, 11.344866730144373, 13.276704135987622, 15.08627246938899,
  16.811893829770927, 18.475306906582357, 20.090235029663233, 21.665994333461924, 23.209251158954356,
];
export const MOST_TIES = CRITICAL.length + 2;
const MOST_STEPS = 60;
const STILL_M = 1e-10;
const BESIDE_M = 0.05;

/**
 * Where a peg is by two to MOST_TIES ties [{x, y, distanceM, sigmaM}], level, ground metres; `sigmaM` one sigma of the
 * distance and its peg together, `side` ('left', 'right' or null) that of the line from the first to the last tie's peg.
 *
 * {kind: 'placed' | 'two sides' | 'cannot meet', candidates: [{x, y}] left first, xy or null, covariance [xx, xy, yy] or null,
 * residualsM (taped less computed) or null, chiSquare, critical, dof, fit: 'fits' | 'does not fit' | 'no check', fault: index of
 * the one tie without which the others fit, or null, gapM}. From three ties on it is least squares, from both sides.
 */
export function resetPeg(ties, side = null) {
  if (ties.length < 2 || ties.length > MOST_TIES) throw new RangeError(`A lost peg needs two to ${MOST_TIES} taped distances.`);
  return ties.length === 2 ? fromTwo(ties, side) : fromMore(ties, side);
}

/** The chi-square that distances taped without a blunder exceed in 1 % of cases. */
export const critical = (dof) => CRITICAL[dof - 1];

const untested = { xy: null, covariance: null, residualsM: null, chiSquare: 0, critical: null, dof: 0, fit: 'no check', fault: null, gapM: 0 };
const met = (one, other) => intersect(one, other, one.distanceM, other.distanceM);

function fromTwo(ties, side) {
  const [one, other] = ties;
  const { kind, left, right, gapM } = met(one, other);
  if (kind === 'none') return { ...untested, kind: 'cannot meet', candidates: [], gapM };
  const candidates = kind === 'two' ? [left, right] : [left];
  if (candidates.length === 2 && side === null) return { ...untested, kind: 'two sides', candidates };
  const xy = side === 'right' ? right : left;
  return { ...untested, kind: 'placed', candidates, xy, covariance: pointCovariance(xy, one, other, one.sigmaM, other.sigmaM), residualsM: [0, 0] };
}

function fromMore(ties, side) {
  const places = placesOf(ties);
  const isDouble = places.length === 2 && places.every((xy) => chiSquareOf(ties, xy) <= critical(ties.length - 2));
  if (isDouble && side === null) return { ...untested, kind: 'two sides', candidates: places };
  const chosen = isDouble && side === 'right' ? places[1] : best(ties, places);
  return tested(ties, isDouble ? places : [chosen], chosen);
}

const best = (ties, places) => places.reduce((one, other) => (chiSquareOf(ties, other) < chiSquareOf(ties, one) ? other : one));

/** The one or two places of least squares, left of the line from the first to the last peg first. */
function placesOf(ties) {
  const [start, end] = [ties[0], ties.at(-1)];
  const left = ({ x, y }) => (end.x - start.x) * (y - start.y) - (end.y - start.y) * (x - start.x);
  const found = startsOf(ties).map((xy) => leastSquares(ties, xy)).sort((one, other) => left(other) - left(one));
  const apart = (found[1].x - found[0].x) ** 2 + (found[1].y - found[0].y) ** 2;
  return apart > BESIDE_M ** 2 ? found : [found[0]];
}

/** A place on either side of the two pegs whose tapes cross best; beside their line where none meet. */
function startsOf(ties) {
  const pairs = ties.flatMap((one, i) => ties.slice(0, i).map((other) => ({ one, other, at: met(one, other) })));
  const angleOf = ({ one, other, at }) => (at.left === null ? -1 : crossingAngleDeg(at.left, one, other));
  const { at } = pairs.reduce((top, pair) => (angleOf(pair) > angleOf(top) ? pair : top));
  return at.kind === 'two' ? [at.left, at.right] : beside(ties);
}

function beside(ties) {
  const [dx, dy] = [ties.at(-1).x - ties[0].x, ties.at(-1).y - ties[0].y];
  const by = BESIDE_M / Math.max(Math.sqrt(dx * dx + dy * dy), BESIDE_M);
  const mean = (axis) => ties.reduce((sum, tie) => sum + tie[axis], 0) / ties.length;
  return [1, -1].map((sign) => ({ x: mean('x') - sign * by * dy, y: mean('y') + sign * by * dx }));
}

/** The place nearest to a start at which the weighted squares are least, by Levenberg and Marquardt. */
function leastSquares(ties, start) {
  let [xy, damping, cost] = [start, 1e-6, chiSquareOf(ties, start)];
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const { xx, xy: both, yy, right } = normalOf(ties, xy);
    const added = damping * (xx + yy);
    const det = (xx + added) * (yy + added) - both * both;
    const [dx, dy] = [((yy + added) * right[0] - both * right[1]) / det, ((xx + added) * right[1] - both * right[0]) / det];
    const next = { x: xy.x + dx, y: xy.y + dy };
    const tried = chiSquareOf(ties, next);
    if (tried <= cost) [xy, cost, damping] = [next, tried, Math.max(damping / 10, 1e-12)];
    else damping *= 10;
    if (dx * dx + dy * dy < STILL_M ** 2) break;
  }
  return xy;
}

/** The normal matrix and its right-hand side at a place. */
function normalOf(ties, at) {
  const sum = { xx: 0, xy: 0, yy: 0, right: [0, 0] };
  ties.forEach((tie) => {
    const [dx, dy] = [at.x - tie.x, at.y - tie.y];
    const length = Math.max(Math.sqrt(dx * dx + dy * dy), STILL_M);
    const [wx, wy, v] = [dx / length / tie.sigmaM, dy / length / tie.sigmaM, residualOf(tie, at) / tie.sigmaM];
    sum.xx += wx * wx;
    sum.xy += wx * wy;
    sum.yy += wy * wy;
    sum.right = [sum.right[0] + wx * v, sum.right[1] + wy * v];
  });
  return sum;
}

const residualOf = (tie, at) => tie.distanceM - Math.sqrt((at.x - tie.x) ** 2 + (at.y - tie.y) ** 2);
const chiSquareOf = (ties, at) => ties.reduce((sum, tie) => sum + (residualOf(tie, at) / tie.sigmaM) ** 2, 0);

function tested(ties, candidates, xy) {
  const dof = ties.length - 2;
  const chiSquare = chiSquareOf(ties, xy);
  const fits = chiSquare <= critical(dof);
  return {
    kind: 'placed', candidates, xy, covariance: inverse(normalOf(ties, xy)), residualsM: ties.map((tie) => residualOf(tie, xy)),
    chiSquare, critical: critical(dof), dof, fit: fits ? 'fits' : 'does not fit', fault: fits ? null : faultOf(ties), gapM: 0,
  };
}

/** The covariance [xx, xy, yy] of a normal matrix, infinite where all tapes lie in one line. */
function inverse({ xx, xy, yy }) {
  const det = xx * yy - xy * xy;
  if (det <= PARALLEL * (xx + yy) ** 2) return [Infinity, Infinity, Infinity];
  return [yy / det, -xy / det, xx / det];
}

/** The only tie without which the others fit; with three ties any one would do, so none is named. */
function faultOf(ties) {
  if (ties.length < 4) return null;
  const fits = ties.map((_, k) => ties.filter((__, i) => i !== k)).map((others) => (
    chiSquareOf(others, best(others, placesOf(others))) <= critical(others.length - 2)));
  return fits.filter(Boolean).length === 1 ? fits.indexOf(true) : null;
}
