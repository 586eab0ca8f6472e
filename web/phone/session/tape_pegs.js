// The pegs that a bunker can be taped from: those in place, in ground metres, and why others are left out.

import { isTapeable, pegSigmaM } from '../geometry/ties.js';
import { bunkerPegs } from './bunker_pegs.js';
import { radiusWords } from './lengths.js';
import { isInPlace } from './standing_pegs.js';

const WHY = { planned: 'is planned and not driven yet', moved: 'was reported moved', missing: 'was reported missing' };

/** A standing peg as the tape rooms take it: {id, x, y, sigmaM, levelM, kind}, ground metres. */
export function tiePeg({ id, kind, x, y, withinM, levelM }, scale) {
  return { id, kind, x: x * scale, y: y * scale, sigmaM: pegSigmaM(withinM), levelM };
}

/** The bunker's pegs {usable: ready to tape from, leftOut: [words]}. */
export function tapePegs(job, pegs) {
  const near = bunkerPegs(job, pegs);
  return {
    usable: near.filter((peg) => whyNot(job, peg) === '').map((peg) => tiePeg(peg, job.bundle.frame.ground_scale)),
    leftOut: near.filter((peg) => whyNot(job, peg) !== '').map((peg) => `${peg.id} is left out: ${whyNot(job, peg)}.`),
  };
}

/** Why nothing is taped from a peg; '' where it can be. */
function whyNot(job, peg) {
  if (!isInPlace(peg)) return `it ${WHY[peg.state]}`;
  if (!peg.isOwn && peg.withinM === null) return 'nobody told how well it is placed';
  return isTapeable(peg.withinM) ? '' : `it is known to ${radiusWords(peg.withinM, job.bundle.site.units.ground)} only`;
}

/** How true the pegs themselves are, in words. */
export function pegTruthWords(pegs) {
  return pegs.every(({ sigmaM }) => sigmaM === 0) ? 'the pegs taken as exact' : 'the pegs as well as they are known';
}
