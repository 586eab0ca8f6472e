// A morning check as it goes on, kept on the phone with every change: distances typed, pegs seen, the check-in.

import { bunkerOf } from './job.js';
import { lengthTyped } from './typed_length.js';

const VERSION = 1;
const OLD_MS = 12 * 3600e3;
const MOST_LINES = 30;

/** The name under which the check of a bunker is kept; one made while practising is another one. */
export const morningKey = ({ bundle, bunkerId, practice }) => `morning ${bundle.site.id} ${bunkerId}${practice === null ? '' : ' practice'}`;

/** A new check: `ids` {morning, taped} are those of the records it will make, `lines` [[one, other]] the distances to tape. */
export function newMorning(job, ids, lines, at) {
  return {
    version: VERSION, ids, revision: bunkerOf(job).revision, startedAt: at, isCheckInLeftOut: false, states: {},
    lines: lines.map(([one, other]) => ({ one, other, typed: '' })),
  };
}

/** The check that was kept, or null where there is none that this page can read. */
export function morningFrom(kept) {
  const isOurs = kept?.version === VERSION && typeof kept.ids?.morning === 'string' && typeof kept.ids.taped === 'string'
    && Number.isFinite(kept.startedAt) && Array.isArray(kept.lines) && kept.states !== null && typeof kept.states === 'object';
  return isOurs ? kept : null;
}

/** Whether a check is of another day: what stood then need not stand now. */
export const isOld = ({ startedAt }, nowMs) => nowMs - startedAt > OLD_MS || nowMs < startedAt - OLD_MS;

/** Whether anything was done. */
export const isMorningBegun = ({ lines, states, isCheckInLeftOut }) => isCheckInLeftOut || lines.some(({ typed }) => typed !== '') || Object.keys(states).length > 0;

/** The check with what the tape says of a line changed. */
export const withTyped = (draft, i, typed) => ({ ...draft, lines: draft.lines.map((line, at) => (at === i ? { ...line, typed } : line)) });

/** The check without a line. */
export const withoutLine = (draft, i) => ({ ...draft, lines: draft.lines.filter((_, at) => at !== i) });

/** {draft} with one more line to tape, or {fault}. A distance may be taped again: it then counts twice. */
export function withLine(draft, one, other) {
  if (one === other) return { fault: 'Choose two different pegs.' };
  if (draft.lines.length >= MOST_LINES) return { fault: 'That is enough: begin another check.' };
  if (draft.lines.some((line) => line.typed === '' && isBetween(line, one, other))) return { fault: `${one} to ${other} is on the list already.` };
  return { draft: { ...draft, lines: [...draft.lines, { one, other, typed: '' }] } };
}

/** Whether a line runs between two pegs, either way. */
export const isBetween = (line, one, other) => (line.one === one && line.other === other) || (line.one === other && line.other === one);

/** Whether a distance between two pegs was typed already: another one is a second reading. */
export const isTyped = ({ lines }, one, other) => lines.some((line) => line.typed.trim() !== '' && isBetween(line, one, other));

/** A wanted distance [one, other] in words: 'r4a to r4c', with 'again' where it was taped. */
export const wantedWords = (draft, wanted) => `${wanted.join(' to ')}${isTyped(draft, ...wanted) ? ' again' : ''}`;

/** The check with what was found of a peg: the state and the id of its report; null takes it out. */
export function withState(draft, peg, found) {
  const { [peg]: gone, ...rest } = draft.states;
  return { ...draft, states: found === null ? rest : { ...rest, [peg]: found } };
}

/** What was typed: {lines: [{one, other, distanceM}], faults: a sentence or null for every line}; lines without a figure are left out. */
export function typedLines({ lines }, unit) {
  const read = lines.map((line) => ({ ...line, ...(line.typed.trim() === '' ? {} : lengthOf(line, unit)) }));
  return {
    lines: read.filter(({ lengthM }) => lengthM !== undefined).map(({ one, other, lengthM }) => ({ one, other, distanceM: lengthM })),
    faults: read.map(({ fault }) => fault ?? null),
  };
}

function lengthOf({ one, other, typed }, unit) {
  const found = lengthTyped(typed, unit, `the distance from ${one} to ${other}`);
  return found.lengthM <= 0 ? { fault: `A distance is more than 0: type what the tape says from ${one} to ${other}.` } : found;
}
