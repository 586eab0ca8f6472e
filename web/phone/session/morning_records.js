// The records that a morning check makes: the distances taped, and the check itself with its verdict.

import { bunkerOf } from './job.js';
import { verdictSaid } from './morning_verdict.js';
import { receiverInRecord } from './receiver_words.js';
import { tapeOf } from './tape.js';

/** The record of distances taped between pegs; `common` is what every record carries, `said` what `tapesSay` made of them. */
export function tapedRecord(job, common, pegs, said, words) {
  const { finding } = said;
  const used = new Set(said.lines.flatMap(({ one, other }) => [one, other]));
  return {
    ...common, kind: 'taped', receiver: receiverInRecord(job.practice), bunker: job.bunkerId,
    pegs: pegs.filter(({ id }) => used.has(id)).map(({ id, x, y, withinM }) => ({ peg: id, x, y, within_m: withinM })),
    lines: said.lines.map(({ one, other, distanceM, levelDifferenceM }) => ({ one, other, distance_m: distanceM, level_difference_m: levelDifferenceM })),
    tape_error_m: tapeOf(job).errorM,
    verdict: finding.verdict, suspects: finding.suspects, suspect_line: finding.suspectLine, words,
  };
}

/** The record of a check; `check` is {states: {peg: {state}}, checkIn, taped: ids or null, found: the verdict}. */
export function morningRecord(job, common, { states, checkIn, taped, found }) {
  return {
    ...common, kind: 'morning', receiver: receiverInRecord(job.practice),
    bunker: job.bunkerId, revision: bunkerOf(job).revision, check_in: checkIn, taped,
    states: Object.entries(states).map(([peg, { state }]) => [peg, state]),
    verdict: found.verdict, reset: found.reset, words: verdictSaid(found),
  };
}

/** Whether a check is in the record: 'open', 'saved' or 'taken back'. */
export function morningState({ own }, { ids: { morning } }) {
  if (!own.some(({ id }) => id === morning)) return 'open';
  return own.some(({ kind, undoes }) => kind === 'undo' && undoes === morning) ? 'taken back' : 'saved';
}

/** The newest check of the bunker on this phone that stands, or null; while practising one of this practice. */
export function lastMorning({ own, practice, bunkerId }) {
  const undone = new Set(own.filter(({ kind }) => kind === 'undo').map(({ undoes }) => undoes));
  const counts = practice === null ? (r) => !r.practice : (r) => r.practice && r.made_at >= practice.start;
  return own.filter((r) => r.kind === 'morning' && r.bunker === bunkerId && counts(r) && !undone.has(r.id)).at(-1) ?? null;
}
