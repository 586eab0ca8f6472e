// The tie sheet: for each paint point the pegs to tape it from. Twin of fieldapp/tape/ties.py.

import { alongOf, crossOf, crossingAngleDeg, errorEllipse, pointCovariance } from './intersection.js';
import { slopeDistance } from './slope.js';
import { R95_IN_SIGMA } from './verdict.js';

const Z95_IN_SIGMA = 1.959963984540054;
const LEAST_TIE_M = 0.05;
export const POOR_CROSSING_DEG = 30;
const MOST_WITHIN_M = 0.15;
const SAME = 1e-9;

/** One sigma on each axis of a peg known within a 95 % radius; a peg of the plan itself, null, counts as exact. */
export const pegSigmaM = (withinM) => (withinM === null ? 0 : withinM / R95_IN_SIGMA);

/** Whether a peg known within a 95 % radius is good enough to tape from; one of the plan, null, is. */
export const isTapeable = (withinM) => withinM === null || withinM <= MOST_WITHIN_M;

/**
 * The ties of points [{x, y, levelM or null}], ground metres, from pegs [{id, x, y, sigmaM, levelM or null}] with a tape
 * {lengthM, errorM}. Each is {ties: [{peg, levelM, slopeM or null}], side, crossingDeg, ellipse, checkWithinM, why}: two ties
 * of the pair with the least long axis of the 95 % ellipse, and a third as a check where one is in reach; none with the
 * reason `why`.
 */
export function tieSheet(points, pegs, tape) {
  return points.map((point) => tiesOf(point, pegs.map((peg) => seenFrom(point, peg, tape)).filter(({ inReach }) => inReach), tape));
}

/** A peg with what the tape spans from it to a point. */
function seenFrom(point, peg, tape) {
  const [dx, dy] = [point.x - peg.x, point.y - peg.y];
  const levelM = Math.sqrt(dx * dx + dy * dy);
  const isKnown = point.levelM !== null && peg.levelM !== null;
  const slopeM = isKnown ? slopeDistance(levelM, point.levelM - peg.levelM) : null;
  return {
    peg, levelM, slopeM, toward: { x: dx / levelM, y: dy / levelM },
    sigmaM: Math.sqrt(tape.errorM ** 2 + peg.sigmaM ** 2),
    inReach: (slopeM ?? levelM) <= tape.lengthM && levelM >= LEAST_TIE_M,
  };
}

function tiesOf(point, seen, tape) {
  const best = bestPair(point, seen);
  if (best === null) return { ties: [], side: '', crossingDeg: null, ellipse: null, checkWithinM: null, why: whyNone(seen.length) };
  const [one, other] = best.pair;
  const check = checkOf(seen, best);
  return {
    ties: [one, other].concat(check ?? []).map(({ peg, levelM, slopeM }) => ({ peg: peg.id, levelM, slopeM })),
    side: crossOf(one.toward, other.toward) > 0 ? 'left' : 'right',
    crossingDeg: crossingAngleDeg(point, one.peg, other.peg),
    ellipse: errorEllipse(best.covariance),
    checkWithinM: check === null ? null : Z95_IN_SIGMA * missOf(check, best.covariance),
    why: '',
  };
}

function whyNone(inReach) {
  if (inReach === 0) return 'no peg in reach';
  return inReach === 1 ? 'one peg in reach' : 'pegs in line';
}

/** The first pair with the least long axis, {pair, covariance}; null without any. */
function bestPair(point, seen) {
  const pairs = seen.flatMap((one, i) => seen.slice(i + 1).map((other) => [one, other]));
  const rated = pairs.map((pair) => {
    const covariance = pointCovariance(point, pair[0].peg, pair[1].peg, pair[0].sigmaM, pair[1].sigmaM);
    return { pair, covariance, majorM: errorEllipse(covariance).majorM };
  });
  const least = Math.min(...rated.map(({ majorM }) => majorM));
  return Number.isFinite(least) ? rated.find(({ majorM }) => majorM <= least * (1 + SAME)) : null;
}

/** One sigma of how far a third distance misses, from its own errors and those of the point. */
const missOf = ({ sigmaM, toward }, covariance) => Math.sqrt(sigmaM ** 2 + alongOf(toward, covariance));

/** The peg that shows the least error of either tape: its lesser crossing with both for how far it misses; null without any. */
function checkOf(seen, { pair, covariance }) {
  const others = seen.filter((one) => !pair.includes(one));
  const shows = others.map((other) => Math.min(...pair.map((one) => Math.abs(crossOf(other.toward, one.toward)))) / missOf(other, covariance));
  const best = Math.max(...shows);
  return others[shows.findIndex((one) => one >= best * (1 - SAME))] ?? null;
}
