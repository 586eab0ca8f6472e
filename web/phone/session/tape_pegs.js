// The pegs that a bunker can be taped from: those in place, in ground metres, and why others are left out.

import { pegSigmaM } from '../geometry/ties.js';
import { bunkerOf } from './job.js';
import { isInPlace } from './standing_pegs.js';

const NEAR_IN_TAPES = 1.5;
const DEFAULT_TAPE = { length_m: 30, error_m: 0.01 };
const WHY = { planned: 'is planned and not driven yet', moved: 'was reported moved', missing: 'was reported missing' };

/** The crew's tape {lengthM, errorM}; a plan kept by an older release has none. */
export function tapeOf({ bundle }) {
  const { length_m: lengthM, error_m: errorM } = bundle.tape ?? DEFAULT_TAPE;
  return { lengthM, errorM };
}

/** A standing peg as the tape rooms take it: {id, x, y, sigmaM, levelM, kind}, ground metres. */
export function tiePeg({ id, kind, x, y, withinM, levelM }, scale) {
  return { id, kind, x: x * scale, y: y * scale, sigmaM: pegSigmaM(withinM), levelM };
}

/** The standing pegs whose nearest paint point of the bunker is no farther than one and a half tapes. */
export function pegsNear(job, pegs) {
  const { ground_scale: scale } = job.bundle.frame;
  const reach = (NEAR_IN_TAPES * tapeOf(job).lengthM) / scale;
  const points = bunkerOf(job).outlines.flatMap((outline) => outline.points);
  return pegs.filter((peg) => points.some(([, x, y]) => (x - peg.x) ** 2 + (y - peg.y) ** 2 <= reach ** 2));
}

/** The bunker's pegs {usable: ready to tape from, leftOut: [words]}. */
export function tapePegs(job, pegs) {
  const near = pegsNear(job, pegs);
  return {
    usable: near.filter(isInPlace).map((peg) => tiePeg(peg, job.bundle.frame.ground_scale)),
    leftOut: near.filter((peg) => !isInPlace(peg)).map(({ id, state }) => `${id} is left out: it ${WHY[state]}.`),
  };
}

/** How true the pegs themselves are, in words. */
export function pegTruthWords(pegs) {
  return pegs.every(({ sigmaM }) => sigmaM === 0) ? 'the pegs taken as exact' : 'the pegs as well as they are known';
}
