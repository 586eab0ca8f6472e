// Whether a check-in still stands, and how old it is, whatever became of the phone's clock.

import { worth } from '../geometry/check_in.js';
import { processOf } from './gauge.js';

const WORTH_NAMING = 0.98;
const BEFORE_S = 2;
const SAME_M = 0.001;
const SAME_DEG = 5e-8;
const NORTH_M = 1000;
const lastOf = new WeakMap();

/**
 * Why the job's check-in cannot stand any more for a fix at a time (s): 'clock' where that lies before it, 'plan' where
 * its peg has other coordinates now, is gone, or the grid lies elsewhere on the earth; else null.
 */
export function checkInFault(job, tS) {
  const { checkIn } = job.gauge;
  if (checkIn === null) return null;
  if (tS < checkIn.found.madeAtS - BEFORE_S) return 'clock';
  return checkIn.site === job.bundle.site.id && !isOnPlan(job, checkIn.on) ? 'plan' : null;
}

/**
 * Where a peg {x, y} is, on the grid and on the earth: {x, y, onEarth: latitudes and longitudes of it and of a spot 1 km
 * up the grid}. The frames of two holes differ, this does not, so it tells whether the grid is still the same. The last
 * answer of a frame is remembered: it is asked with every fix.
 */
export function whereIs({ x, y }, frame) {
  const last = lastOf.get(frame);
  if (last?.x === x && last.y === y) return last;
  const found = { x, y, onEarth: [...frame.toGnss(x, y), ...frame.toGnss(x, y + NORTH_M)] };
  lastOf.set(frame, found);
  return found;
}

/** Whether a peg lies where it lay at the check-in, `on` as `whereIs` told it; one kept without is not believed. */
function isOnPlan({ bundle, frame, gauge }, on) {
  const peg = bundle.pegs.find(({ id }) => id === gauge.checkIn.peg);
  if (peg === undefined || !Array.isArray(on?.onEarth)) return false;
  const now = whereIs(peg, frame);
  return Math.abs(now.x - on.x) < SAME_M && Math.abs(now.y - on.y) < SAME_M
    && now.onEarth.every((deg, i) => Math.abs(deg - on.onEarth[i]) < SAME_DEG);
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
