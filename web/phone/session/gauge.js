// What is known of a receiver and stays on the phone: its trial and its check-in. What was kept is looked at before it is believed.

import { DEFAULT_PROCESS } from '../geometry/process.js';

/** What is known of a receiver: its trial {id, peg, madeAt, found} and its check-in {id, peg, site, on, pageMs, found}, or null. */
export const unknownReceiver = { trial: null, checkIn: null };

/** The error process of the job's receiver: what a trial found is one. */
export const processOf = (job) => job.gauge.trial?.found ?? DEFAULT_PROCESS;

/** What is known of the phone's receiver, from what was kept of its trial and check-in; a broken one is no longer known. */
export function gaugeFrom(trial, checkIn) {
  return { trial: isTrial(trial) ? trial : null, checkIn: isCheckIn(checkIn) ? { ...checkIn, pageMs: null } : null };
}

/**
 * The gauge after standing on a peg: `found` of `foundOnPeg`, the id of its record, the site, a time (ms), where the peg is (`on`,
 * of `whereIs`), and how long the page had been open at the last fix (`pageMs`), which tells a check-in's age where the
 * phone's clock is changed.
 */
export function gaugeAfter(gauge, onPeg, found, { id, site, at, on, pageMs }) {
  const common = { id, peg: onPeg.peg.id, madeAt: new Date(at).toISOString() };
  const checkIn = { ...common, site, on, pageMs, found: found.checkIn };
  return found.trial === undefined ? { ...gauge, checkIn } : { trial: { ...common, found: found.trial }, checkIn };
}

const areNumbers = (...values) => values.every((value) => Number.isFinite(value));

const isFactor = (value) => value === null || (Number.isFinite(value) && value > 0);

function isTrial(kept) {
  const found = kept?.found;
  return typeof kept?.id === 'string' && typeof kept.peg === 'string' && typeof kept.madeAt === 'string'
    && areNumbers(found?.scatterM, found?.offsetX, found.offsetY, found.spread) && isFactor(found.sigmaPerAccuracy) && Array.isArray(found.parts)
    && found.parts.length > 0 && found.parts.every((part) => Array.isArray(part) && areNumbers(...part));
}

function isCheckIn(kept) {
  const found = kept?.found;
  return typeof kept?.id === 'string' && typeof kept.peg === 'string' && typeof kept.site === 'string'
    && areNumbers(found?.shiftX, found?.shiftY, found?.madeAtS, found?.sigmaM)
    && Array.isArray(found.keptS) && found.keptS.length > 0 && areNumbers(...found.keptS);
}
