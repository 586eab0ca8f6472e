// Which pegs belong to a bunker: those from which its line can be taped, or nearly so.

import { bunkerOf } from './job.js';
import { tapeOf } from './tape.js';

/** In lengths of the tape, from a bunker's nearest paint point. */
const REACH_IN_TAPES = 1.5;

/** The pegs that belong to the bunker in hand, of `pegs` as they stand: paint pegs stand on the outline itself, they do not. */
export const bunkerPegs = (job, pegs) => pegsNear(job, pegs).filter(({ kind }) => kind !== 'paint');

/** All pegs nearer to one of its paint points than one and a half tapes. */
export function pegsNear(job, pegs) {
  const points = bunkerOf(job).outlines.flatMap((outline) => outline.points);
  const reach = (REACH_IN_TAPES * tapeOf(job).lengthM) / job.bundle.frame.ground_scale;
  return pegs.filter((peg) => points.some(([, x, y]) => (x - peg.x) ** 2 + (y - peg.y) ** 2 <= reach ** 2));
}
