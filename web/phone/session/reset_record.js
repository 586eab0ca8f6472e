// The record of a peg that was set by its ties: again, or for the first time where it was only planned.

import { receiverInRecord } from './receiver_words.js';
import { common } from './record.js';

/** The report, with the note of a peg that a crew placed, which has no other place; `made` is {x, y, withinM, ties} in ground metres as session/reset_words.js gives it, `stamp` {id, at}. */
export function resetRecord(job, peg, made, stamp) {
  const { ground_scale: scale } = job.bundle.frame;
  return {
    ...common(job, stamp), kind: 'peg', receiver: receiverInRecord(job.practice), bunker: job.bunkerId,
    peg: peg.id, peg_kind: peg.kind, state: peg.state === 'planned' ? 'new' : 'reset', x: made.x / scale, y: made.y / scale, within_m: made.withinM,
    placed_by: 'ties', note: peg.isOwn ? '' : peg.note, photos: [], ties: made.ties, reading: null,
  };
}
