// The large button and the undo of a paint point set out by tape.

import { markOn, paintedWords } from './company.js';
import { lastOwnMark } from './standing.js';

/** The button as view/mark_button.js shows it. */
export function tapeButton(job, number) {
  const mark = markOn(job, number);
  return { label: `Painted ${number}`, holdWords: `Hold to mark ${number}`, action: 'mark', note: mark ? paintedWords(mark) : '' };
}

/** This phone's newest standing mark of the bunker, which undo takes back; null without any. */
export const lastTapedMark = (job) => lastOwnMark(job.marks.filter(({ bunker }) => bunker === job.bunkerId));

/** The undo button: {label, isOff}. */
export function tapeUndo(job) {
  const mark = lastTapedMark(job);
  return { label: mark === null ? 'Undo' : `Undo ${mark.number}`, isOff: mark === null };
}
