// What is known of a receiver and stays on the phone: its trial and its check-in. What was kept is looked at before it is believed.

import { DEFAULT_PROCESS } from '../geometry/process.js';

/**
 * What is known of a receiver: its trial {id, peg, site, madeAt, found} and its check-in, with {on, pageMs} as well, or
 * null; `lasting` is how long its errors last where that was set by hand, {share, tauS} of the slow part, or null.
 */
export const unknownReceiver = { trial: null, checkIn: null, lasting: null };

/** The error process of the job's receiver: what a trial found is one. A slow part set by hand leaves the rest its proportions. */
export function processOf({ gauge: { trial, lasting } }) {
  const found = trial?.found ?? DEFAULT_PROCESS;
  if (!lasting) return found;
  const [quick, all] = [found, DEFAULT_PROCESS].map(quickOf).find(([, sum]) => sum > 0);
  const parts = quick.map(([share, tauS]) => [(share / all) * (1 - lasting.share), tauS]);
  return { parts: [...parts, [lasting.share, lasting.tauS]], spread: found.spread };
}

/** The parts of a process but the last, and the sum of their shares. */
function quickOf({ parts }) {
  const quick = parts.slice(0, -1);
  return [quick, quick.reduce((sum, [share]) => sum + share, 0)];
}

/** What is known of the phone's receiver, from what was kept of its trial and check-in; a broken one is no longer known. */
export function gaugeFrom(trial, checkIn) {
  return { ...unknownReceiver, trial: isTrial(trial) ? trial : null, checkIn: isCheckIn(checkIn) ? { ...checkIn, pageMs: null } : null };
}

/**
 * The gauge after standing on a peg: `found` of `foundOnPeg`, the id of its record, the site, a time (ms), where the peg is (`on`,
 * of `whereIs`), and how long the page had been open at the last fix (`pageMs`), which tells a check-in's age where the
 * phone's clock is changed. A trial replaces what was set by hand.
 */
export function gaugeAfter(gauge, onPeg, found, { id, site, at, on, pageMs }) {
  const common = { id, site, peg: onPeg.peg.id, madeAt: new Date(at).toISOString() };
  const checkIn = { ...common, on, pageMs, found: found.checkIn };
  return found.trial === undefined ? { ...gauge, checkIn } : { trial: { ...common, found: found.trial }, checkIn, lasting: null };
}

/**
 * What dropping the trial or the check-in ('trial' | 'checkIn') leaves: {gauge, undoes}, `undoes` being the id of the
 * record that is thereby taken back, or null. A trial takes along the check-in it was, which a wrong peg spoilt as well;
 * a check-in that was a trial leaves the trial and its record standing.
 */
export function gaugeWithout(gauge, what) {
  const { trial, checkIn } = gauge;
  const { id } = gauge[what];
  if (what === 'trial') return { gauge: { ...gauge, trial: null, checkIn: checkIn?.id === id ? null : checkIn }, undoes: id };
  return { gauge: { ...gauge, checkIn: null }, undoes: trial?.id === id ? null : id };
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
