// What became of a bunker's pegs and plan after a check that said that it is safe to go on.

import { clockWords } from './clock_words.js';
import { bunkerOf } from './job.js';
import { listWords } from './morning_verdict.js';
import { isInPlace } from './standing_pegs.js';

const SET = ['new', 'reset'];

/**
 * Why the check `made`, a record, holds no more: {kind, title, detail} as a strip shows it; null where nothing is known that
 * speaks against it. `pegs` are the bunker's as they stand.
 */
export function sinceCheck(job, pegs, { verdict, revision, made_at: at }) {
  if (verdict !== 'go on') return null;
  const after = `after the check at ${clockWords(at)}`;
  const out = pegs.filter((peg) => !isInPlace(peg));
  if (out.length > 0) return strip('outside', 'Not safe now', `${listWords(out.map(({ id, state }) => `${id} was reported ${state}`))} ${after}`);
  const set = pegs.filter(({ state, report }) => SET.includes(state) && report.made_at > at);
  if (set.length > 0) return strip('cannot tell', 'Check again', `${listWords(set.map(({ id }) => id))} ${set.length === 1 ? 'was' : 'were'} set ${after}`);
  const now = bunkerOf(job).revision;
  return now === revision ? null : strip('cannot tell', 'Check again', `revision ${now} of the plan came ${after}, which was of ${revision}`);
}

const strip = (kind, title, detail) => ({ kind, title, detail, turnDeg: 180 });
