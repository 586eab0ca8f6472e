// How long a receiver's errors last, set by hand: the share of its slow part and for how long that lasts.

import { DEFAULT_PROCESS } from '../geometry/process.js';
import { processOf } from './gauge.js';

const MINUTES = [1, 240];
const PERCENT = [5, 95];

const isWithin = (value, [least, most]) => value >= least && value <= most;
const number = (typed) => (String(typed).trim() === '' ? NaN : Number(String(typed).replace(',', '.')));

/** What was typed as {minutes, percent}: {lasting: {share (0 to 1), tauS}} or, where it cannot be used, {fault} in words. */
export function lastingTyped({ minutes, percent }) {
  const lasting = lastingFrom({ share: number(percent) / 100, tauS: 60 * number(minutes) });
  if (lasting !== null) return { lasting };
  return { fault: `Write a share of ${PERCENT.join(' to ')} % and a time of ${MINUTES.join(' to ')} minutes.` };
}

/** What was kept on this phone, or null where it is nothing that could have been typed. */
export function lastingFrom(kept) {
  const isUsable = [kept?.share, kept?.tauS].every(Number.isFinite) && isWithin(100 * kept.share, PERCENT) && isWithin(kept.tauS / 60, MINUTES);
  return isUsable ? { share: kept.share, tauS: kept.tauS } : null;
}

const rounded = (value) => String(Number(value.toPrecision(3)));

/** The slow part of a process as figures to show: {percent, minutes}. */
function figuresOf({ parts }) {
  const [share, tauS] = parts.at(-1);
  return { percent: rounded(100 * share), minutes: rounded(tauS / 60) };
}

const said = ({ percent, minutes }) => `${percent} % for about ${minutes} min`;

/** A hand setting in the basis of a radius. */
export const lastingBasis = ({ gauge }) => `how long its errors last set by hand, ${said(figuresOf(processOf({ gauge })))}`;

/** What the sheet says of it: {now, about: [lines], percent, minutes, back: words of the button back, null where nothing is set}. */
export function lastingModel({ gauge }) {
  const { trial, lasting } = gauge;
  const now = figuresOf(processOf({ gauge }));
  const from = trial === null ? 'the default' : `the trial on peg ${trial.peg}`;
  const origin = lasting ? 'set by hand' : from;
  return {
    ...now,
    now: `Part of the error is slow: standing longer hardly shrinks it. Now ${said(now)}: ${origin}.`,
    about: [
      `The default is ${said(figuresOf(DEFAULT_PROCESS))}. The time is the middle of the 15 to 45 min by which navigation safety bounds errors of the air; the share is a choice, without a source.`,
      'A time is taken at its worst within three times either way. A trial of this receiver replaces what is set here.',
    ],
    back: lasting ? `Back to ${from}` : null,
  };
}
