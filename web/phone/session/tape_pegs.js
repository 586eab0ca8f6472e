// The pegs that a bunker can be taped from: those in place, in ground metres, and why others are left out.

import { pegSigmaM } from '../geometry/ties.js';
import { bunkerPegs } from './bunker_pegs.js';
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
    usable: near.filter(isInPlace).map((peg) => tiePeg(peg, job.bundle.frame.ground_scale)),
    leftOut: near.filter((peg) => !isInPlace(peg)).map(({ id, state }) => `${id} is left out: it ${WHY[state]}.`),
  };
}

/** How true the pegs themselves are, in words. */
export function pegTruthWords(pegs) {
  return pegs.every(({ sigmaM }) => sigmaM === 0) ? 'the pegs taken as exact' : 'the pegs as well as they are known';
}
