// The record of a yardage check, and which one would be taken back.

import { readingRecord } from './peg_records.js';
import { bunkerOf, teeOf } from './job.js';
import { receiverInRecord } from './receiver_words.js';

/** The record of a check; `common` is what every record carries, `settle` the sentence that the page said. */
export function checkRecord(job, common, check, settle) {
  const [bunker, tee] = [bunkerOf(job), teeOf(job)];
  return {
    ...common,
    kind: 'yardage',
    receiver: receiverInRecord(job.practice),
    target: { bunker: bunker.id, revision: bunker.revision, tee: tee.id, tee_x: tee.x, tee_y: tee.y, figure: check.figure, basis: check.basis },
    reading: readingRecord(job, job.place),
    measured_m: check.measuredM, range95_m: check.rangeM, planned_m: check.plannedM, tolerance_m: check.toleranceM,
    verdict: check.verdict, settle,
    reading95_m: check.radius95M, tee95_m: check.tee95M, grid95_m: check.grid95M,
    off_line_m: check.offLineM, own_line_m: check.ownLineM,
    line_effect_m: check.offLineM === null ? null : check.lineEffectM,
    edge_slope: check.offLineM === null ? null : check.edgeSlope,
  };
}

/** This phone's newest check on the hole that stands, of practice while practising and else none of practice; null without one. */
export function lastOwnCheck(job) {
  const { own, practice } = job;
  const counts = (r) => (practice === null ? !r.practice : r.practice && r.made_at >= practice.start);
  return own.filter((r) => r.kind === 'yardage' && counts(r) && isStanding(job, r)).at(-1) ?? null;
}

/** Whether nothing of this phone has taken a record back. */
export const isStanding = ({ own }, { id, device }) => !own.some((r) => r.kind === 'undo' && r.undoes === id && r.device === device);
