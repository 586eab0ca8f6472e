// The paint point in hand on a screen of the tape: choosing it, marking it, and taking the mark back.

import { aimAtNext, choose, outlineOf, recount } from './session/job.js';
import { markRecord, undoRecord } from './session/record.js';
import { lastTapedMark } from './session/tape_button.js';

/**
 * {job, number, outline, choose, step, press, undo}. `on` is what pegs.js gives every screen, `button()` the large button.
 */
export function createTapePoint(on, { button }) {
  let chosen = { outlineId: null, number: null };
  let busy = false;

  /** The job aimed at the outline chosen here, with its marks counted. */
  const job = () => {
    const counted = recount(on.current());
    return chosen.outlineId === null ? counted : choose(counted, chosen);
  };
  const number = () => { const now = job(); return chosen.number ?? now.number ?? outlineOf(now).points[0][0]; };
  const take = (outlineId, n) => { chosen = { outlineId, number: n }; on.refresh(); };

  const step = (by) => {
    const now = job();
    const numbers = outlineOf(now).points.map(([n]) => n);
    const at = numbers.indexOf(number()) + by + numbers.length;
    take(now.outlineId, numbers[at % numbers.length]);
  };

  const add = async (record) => {
    busy = true;
    try {
      return await on.outbox.add(record);
    } finally {
      busy = false;
    }
  };

  /** Mark the point as painted: by the tape, so without a position. */
  const press = async () => {
    if (busy) return;
    const [now, n] = [job(), number()];
    const [, x, y] = outlineOf(now).points.find(([one]) => one === n);
    const aim = { point: { number: n, x, y }, offM: null, pointVerdict: null };
    button().wait(`${n} …`, 'storing');
    let kept = false;
    try {
      kept = await add(markRecord({ ...now, fix: null, place: null }, aim, on.stamp()));
    } finally {
      button().rest(`${n} painted`, kept ? 'stored on this phone' : 'not stored: see above');
    }
    if (number() === n && job().outlineId === now.outlineId) take(now.outlineId, aimAtNext(job(), n).number ?? n);
  };

  const undo = async () => {
    const mark = lastTapedMark(job());
    if (busy || mark === null) return;
    await add(undoRecord(job(), mark, on.stamp()));
    take(mark.outline, mark.number);
  };

  return { job, number, step, press, undo, outline: (id) => take(id, null), choose: (n) => take(job().outlineId, n) };
}
