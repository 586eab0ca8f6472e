// Where the worker stands, by all that is known: the fix or the reading, the trial of the receiver, the check-in.

import { corrected, lastingShift95M } from '../geometry/check_in.js';
import { combine } from '../geometry/combine.js';
import { sigmaOf } from '../geometry/trial.js';
import { R95_IN_SIGMA } from '../geometry/verdict.js';
import { standingCheckIn } from './checked_in.js';
import { processOf } from './gauge.js';
import { beginHolding, holdOn } from './holding.js';
import { lastingBasis } from './lasting.js';
import { evenly } from './thinning.js';

const TIMES_LOOKED_AT = 100;

/** A fix on the course as `combine` takes it: {tS, x, y, sigmaM, accuracyM, speedMS, pageMs}, seconds of the phone's clock. */
export function sampleOf(job, fix, { x, y }) {
  const sigmaM = sigmaOf(fix.accuracyM, job.gauge.trial?.found ?? null);
  return { tS: fix.at / 1000, x, y, sigmaM, accuracyM: fix.accuracyM, speedMS: fix.speedMS ?? null, pageMs: fix.pageMs ?? null };
}

/**
 * The place by a reading of one fix or more: {x, y, radius95M, awayM: null, reading, checkIn, fixRadius95M}. `checkIn` is
 * {id, peg, ageS, lasting95M} of what was applied, or null, `lasting95M` being what it may leave of a shift that never fades; `fixRadius95M` is the last fix's own.
 */
export function placeByReading(job, reading, sample) {
  const fixRadius95M = sample.sigmaM === null ? null : R95_IN_SIGMA * sample.sigmaM;
  const plain = { x: reading.x, y: reading.y, radius95M: reading.radius95M, awayM: null, reading, checkIn: null, fixRadius95M };
  const checkIn = standingCheckIn(job, sample.tS, sample);
  if (checkIn === null) return plain;
  const thinned = { ...reading, keptS: evenly(reading.keptS, TIMES_LOOKED_AT) };
  const { x, y, radius95M, applied, ageS } = corrected(thinned, checkIn.found, processOf(job));
  if (applied === 0) return plain;
  const lasting95M = lastingShift95M(checkIn.found, applied);
  return { ...plain, x, y, radius95M, checkIn: { id: checkIn.id, peg: checkIn.peg, ageS: Math.max(0, ageS), lasting95M } };
}

/** {place, holding} after a sample: the reading's place while holding still, else the fix's own. */
export function placeSample(job, sample) {
  const process = processOf(job);
  const holding = job.holding && holdOn(job.holding, sample, process);
  const held = holding !== null && !holding.left && holding.reading !== null;
  const reading = held ? holding.reading : combine([sample], process);
  return { holding, place: placeByReading(job, reading, sample) };
}

/** The job holding still from now (ms): the next fixes make a reading. */
export const holdStill = (job, nowMs) => ({ ...job, holding: beginHolding(nowMs), heldEnd: null });

/** The job walking on: the last fix counts again. `why` is 'moved', 'marked' or null when it was asked for. */
export function walkAgain(job, why, nowMs) {
  if (job.holding === null) return job;
  const place = job.sample === null ? job.place : placeByReading(job, combine([job.sample], processOf(job)), job.sample);
  return { ...job, holding: null, place, heldEnd: why && { why, at: nowMs } };
}

/** What the reading in a record says its radius rests on. */
export function basisWords(job, place) {
  if (place.radius95M === null) return NO_RADIUS_BASIS;
  const { trial } = job.gauge;
  const parts = [trial === null ? RADIUS_BASIS : `scatter found by a trial of this receiver on peg ${trial.peg}, ${trial.madeAt.slice(0, 10)}`];
  if (place.reading?.fixes > 1) parts.push(`reading of ${place.reading.fixes} positions over ${place.reading.seconds.toFixed(0)} s`);
  if (place.checkIn) parts.push(`check-in on peg ${place.checkIn.peg}, ${place.checkIn.ageS.toFixed(0)} s before`);
  if (job.gauge.lasting && (place.reading?.fixes > 1 || place.checkIn)) parts.push(lastingBasis(job));
  return parts.join('; ');
}

export const RADIUS_BASIS = 'the receiver\'s accuracy figure taken as its 68 % radius';
export const NO_RADIUS_BASIS = 'the receiver gives no accuracy figure';
