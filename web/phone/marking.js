// Taking a mark and taking it back: one at a time, and the job goes on only from where it was.

import { aimAtMark, aimAtNext, choose } from './session/job.js';
import { markRecord, undoRecord } from './session/record.js';
import { doubtWords, markButtonOf } from './session/screen.js';
import { lastOwnMark } from './session/standing.js';

/**
 * {press(confirmed), undo()}. `current()` and `change(job)` are the job in hand, `aimNow()` its aim, `stamp()` a new
 * {id, at}, `button()` the large button, `onChoose()` comes when everything here is painted,
 * `onMarked(isKept)` after a mark.
 */
export function createMarking({ outbox, current, change, aimNow, stamp, button, onChoose, onMarked }) {
  let busy = false;

  /** Add a record, and take no other one meanwhile. */
  const add = async (record) => {
    busy = true;
    try {
      return await outbox.add(record);
    } finally {
      busy = false;
    }
  };

  const goOn = (from, next) => {
    const now = current();
    const isWhereItWas = ['bunkerId', 'outlineId', 'number', 'mode'].every((name) => now[name] === from[name]);
    change(isWhereItWas ? next(now) : now);
  };

  const press = (confirmed) => {
    if (busy) return undefined;
    const [job, aim] = [current(), aimNow()];
    const { action, outlineId, doubt, asks } = markButtonOf(job, aim);
    if (action === 'outline') return change(choose(job, { outlineId }));
    if (action === 'choose') return onChoose();
    if (doubt && !confirmed) return button().ask(asks ?? doubtWords(aim, job.bundle.site.units.ground));
    return mark(job, aim);
  };

  const mark = async (job, aim) => {
    const { number } = aim.point;
    button().wait(`${number} …`, 'storing');
    let kept = false;
    try {
      kept = await add(markRecord(job, aim, stamp()));
    } finally {
      button().rest(`${number} painted`, kept ? 'stored on this phone' : 'not stored: see above');
    }
    onMarked(kept);
    goOn(job, (now) => (now.mode === 'line' ? now : aimAtNext(now, number)));
  };

  const undo = async () => {
    const job = current();
    const last = lastOwnMark(job.marks);
    if (busy || last === null) return;
    await add(undoRecord(job, last, stamp()));
    goOn(job, (now) => aimAtMark(now, last));
  };

  return { press, undo };
}
