// What the page says of a reading going on or just ended, of a check-in, and of a compass that is wrong.

import { compassWords } from './compass_check.js';
import { processOf } from './gauge.js';
import { gainsLittle } from './holding.js';

const ENDED_SHOWN_MS = 8000;

/** What is said when a standing began anew because the phone's clock was put back. */
export const CLOCK_CHANGED = 'This phone\'s clock was changed, so it began anew.';

const ENDS = {
  moved: 'You have moved, so the reading ended.',
  plan: 'The plan has another grid, so the reading ended.',
  marked: 'Marked with the reading. Walk on.',
};

/** A time that has passed, in whole units: '40 s', '4 min', '1 h 10 min'. */
export function ageWords(seconds) {
  if (seconds < 90) return `${Math.floor(seconds)} s`;
  const minutes = Math.floor(seconds / 60);
  return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}

/** A count with its noun: '1 position', '12 positions'. */
export const positions = (count) => (count === 1 ? '1 position' : `${count} positions`);

/** The lines between the grass and the figures, at a time (ms). */
export function holdingRemarks(job, nowMs) {
  return [holdingLine(job, nowMs), compassWords(job.compassCheck)].filter((words) => words !== null);
}

function holdingLine({ holding, heldEnd, ...job }, nowMs) {
  if (holding === null) return heldEnd !== null && nowMs - heldEnd.at < ENDED_SHOWN_MS ? ENDS[heldEnd.why] : null;
  const stood = Math.max(0, (nowMs - holding.since) / 1000);
  const anew = holding.isAnew && stood < ENDED_SHOWN_MS / 1000 ? `${CLOCK_CHANGED} ` : '';
  if (holding.reading === null) return `Holding still, ${Math.floor(stood)} s. Waiting for a position.`;
  const { fixes, leftOut, seconds } = holding.reading;
  const without = leftOut === 0 ? '' : `, ${leftOut} left out`;
  const gain = gainsLittle(seconds, processOf(job)) ? ' Standing longer gains little now.' : '';
  return `${anew}Holding still, ${Math.floor(stood)} s, ${positions(fixes)}${without}.${gain}`;
}

/** What stands under the radius: the check-in and how old it is; '' without one. */
export function radiusNote({ place }) {
  return place?.checkIn ? `checked in ${ageWords(place.checkIn.ageS)} ago` : '';
}

const DROPPED = {
  clock: 'this phone\'s clock was changed since, so how old it is cannot be told',
  plan: 'in this plan the peg or the grid is not where it was',
};

/** What the page says of a check-in that was dropped because it cannot stand any more. */
export const droppedWords = ({ peg }, fault) => `The check-in on peg ${peg} was dropped: ${DROPPED[fault]}. Check in again.`;

/** The button for it: {label, note, on}. */
export function holdButtonOf(job, nowMs) {
  if (job.holding === null) return { label: 'Hold still', note: '', on: false };
  return { label: 'End hold', note: `${Math.floor(Math.max(0, (nowMs - job.holding.since) / 1000))} s`, on: true };
}
