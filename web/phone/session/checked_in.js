// Whether a check-in still stands, and how old it is, whatever became of the phone's clock.

import { worth } from '../geometry/check_in.js';
import { processOf } from './gauge.js';

const WORTH_NAMING = 0.98;
const BEFORE_S = 2;

/** Why the job's check-in cannot stand any more for a fix at a time (s): 'clock' where that lies before it; else null. */
export function checkInFault({ gauge: { checkIn } }, tS) {
  if (checkIn === null) return null;
  return tS < checkIn.found.madeAtS - BEFORE_S ? 'clock' : null;
}

/**
 * The job's check-in where it belongs to this site and still shrinks the radius of a fix at a time (s); else null. It is
 * as old as the phone's clock says or, where that is more, as long as this page has been open since: `sample` is the
 * last fix, {tS, pageMs}.
 */
export function standingCheckIn(job, tS, sample = job.sample) {
  const { checkIn } = job.gauge;
  if (checkIn === null || checkIn.site !== job.bundle.site.id || checkInFault(job, tS) !== null) return null;
  const found = older(checkIn.found, lostS(checkIn, sample));
  const { radius95M, without95M } = worth(found, processOf(job), Math.max(0, tS - found.madeAtS));
  return radius95M === null || radius95M > WORTH_NAMING * without95M ? null : { ...checkIn, found };
}

/** Seconds by which the phone's clock has fallen behind this page since the check-in. */
function lostS(checkIn, sample) {
  if (!Number.isFinite(checkIn.pageMs) || !Number.isFinite(sample?.pageMs)) return 0;
  return Math.max(0, (sample.pageMs - checkIn.pageMs) / 1000 - (sample.tS - checkIn.found.madeAtS));
}

const older = (found, seconds) => ({ ...found, madeAtS: found.madeAtS - seconds, keptS: found.keptS.map((tS) => tS - seconds) });
