// What saving a morning check comes to: what stands in its way, and the records that it makes.

import { morningState } from './morning_records.js';
import { tapesWords } from './morning_verdict.js';
import { pegRecord, savedMorning, tapedInMorning } from './record.js';

const OUT = ['moved', 'missing'];
const BY_TAPES = 'By the distances taped this morning.';

/** The pegs that the distances name as moved and that nobody reported so; `states` {id: {state}} are those seen this morning. */
export function movedByTapes(finding, states) {
  return finding?.verdict === 'misfit' ? finding.suspects.filter((peg) => !OUT.includes(states[peg]?.state)) : [];
}

/** The ids of the reports of named pegs, {peg: id}: those that the draft has already, and a new one for every other. */
export function namedIds(named = {}, pegs, newId) {
  return { ...named, ...Object.fromEntries(pegs.filter((peg) => named[peg] === undefined).map((peg) => [peg, newId()])) };
}

/**
 * The records: the distances, the pegs that they name as moved, and the check. `draft` has the ids of all of them, `pegs` are
 * those taped between, `said` what the tapes say, `found` the verdict, `checkIn` the id of that record or null.
 */
export function recordsOfMorning(job, draft, { pegs, said, found, checkIn }, at) {
  const { finding } = said;
  const taped = finding === null ? null : draft.ids.taped;
  const kindOf = (peg) => pegs.find(({ id }) => id === peg).kind;
  return [
    ...(taped === null ? [] : [tapedInMorning(job, { pegs, said, words: tapesWords(finding, job.bundle.site.units.ground) }, { id: taped, at })]),
    ...movedByTapes(finding, draft.states).map((peg) => pegRecord(job, { peg, kind: kindOf(peg), state: 'moved', note: BY_TAPES }, { id: draft.named[peg], at })),
    savedMorning(job, { states: draft.states, checkIn, taped, found }, { id: draft.ids.morning, at }),
  ];
}

/** The records of a check that was being saved when the page was killed, without those that are in the record already. */
export function leftToAdd(job, draft) {
  if (morningState(job, draft) !== 'open') return [];
  return (draft.making ?? []).filter(({ id }) => !job.own.some((record) => record.id === id));
}
