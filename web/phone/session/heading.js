// Which way somebody faces: from movement when walking, from the compass when standing, and which of the two it is.

import { isCompassWrong } from './compass_check.js';
import { headingOf } from './compass.js';

const WALKING_MS = 5000;
const COMPASS_MS = 3000;
const STEP_DEG = 5;

/** Whether somebody is walking now (ms): the way they went is known, and they went on a moment ago. */
export function isWalking(job, nowMs) {
  return job.holding === null && job.walk.bearingDeg !== null && nowMs - job.walk.at <= WALKING_MS;
}

/**
 * The heading {trueDeg, words 'as you walk' | 'by compass' | 'by compass, magnetic'} or null when neither tells. A compass
 * found wrong is not used until it agrees again; one that has fallen silent is not either.
 */
export function headingNow(job, nowMs) {
  if (isWalking(job, nowMs)) return { trueDeg: trueOfCourse(job, job.walk.bearingDeg), words: 'as you walk' };
  if (isCompassWrong(job.compassCheck)) return null;
  const heading = compassHeading(job, nowMs);
  return heading && { trueDeg: heading.deg, words: heading.isTrue ? 'by compass' : 'by compass, magnetic' };
}

/** What the phone's compass says now, {deg, isTrue}, or null. */
export function compassHeading(job, nowMs) {
  if (job.compass === null || nowMs - job.compass.at > COMPASS_MS) return null;
  return headingOf(job.compass, job.bundle.declination);
}

/** The same as a course bearing: what is faced now, else the way walked last, else null. A compass trembles: 5° steps. */
export function facingDeg(job, nowMs) {
  const heading = isWalking(job, nowMs) ? null : headingNow(job, nowMs);
  return heading === null ? job.walk.bearingDeg : STEP_DEG * Math.round((heading.trueDeg - trueOfCourse(job, 0)) / STEP_DEG);
}

/** A course bearing as a true one, where the worker stands. */
export function trueOfCourse(job, courseDeg) {
  const { x, y } = job.place;
  return job.frame.trueBearingDeg(x, y, x, y + 1) + courseDeg;
}
