// The draft's post: every change is kept in this browser at once, and put on the server a little after the last one.

import { putDraft } from './server.js';

const [SEND_AFTER_MS, AGAIN_AFTER_MS, LAST_SEND_MS, MOST_UNSURE] = [1500, 8000, 3000, 5];

/**
 * `first` is {number, isSent, unsure, isResting}: the number that the draft grew from, whether it is on the server as it is, the
 * drawings sent over that number of which nobody heard whether they arrived (one of them met there is no other's), and whether
 * another tab draws it: then nothing is kept or sent until `resume`. `keep(kept)` writes {number, steps, isSent, unsure} in this
 * browser and settles with whether it could. `doc()`, `steps()` and `person()` give the draft, its steps and who signs, null
 * where a name has to be typed first. `sign(what, more)` is told how it stands: 'kept', 'sending', 'saved', 'empty', 'away', 'refused',
 * 'unnamed', 'unkept'. `met(theirs)` is told where somebody else's draft came first; the post then rests until `settle` says to
 * go on over it.
 */
export function createPost({ address, first, keep, doc, steps, person, sign, met }) {
  let [number, sent] = [first.number, first.isSent ? doc() : null];
  let [timer, isSending, isHeld, isKept, isResting, turn] = [null, false, false, true, first.isResting, 0];
  let lastSend = Promise.resolve();

  const isSent = () => doc() === sent;
  const unsureOf = ({ unsure = [] }) => (isSent() ? [] : [...unsure, doc()]);
  let unsure = unsureOf(first);

  const write = async () => {
    if (isResting) return;
    isKept = await keep({ number, steps: steps(), isSent: isSent(), unsure });
    if (!isKept) sign('unkept');
  };

  const later = (ms) => {
    clearTimeout(timer);
    timer = setTimeout(send, ms);
  };

  const send = () => {
    clearTimeout(timer);
    if (isSending || isHeld || isResting || isSent()) return lastSend;
    lastSend = put();
    return lastSend;
  };

  const put = async () => {
    if (doc().outlines.length === 0) return void sign('empty');
    if (person() === null) return void sign('unnamed');
    isSending = true;
    const [sending, sentIn] = [doc(), turn];
    unsure = [...unsure.filter((one) => one !== sending), sending].slice(-MOST_UNSURE);
    sign('sending');
    const answer = await putDraft(address, sending, number, person());
    isSending = false;
    if (sentIn !== turn) return void send();
    if (answer.isAway) return void wait('away', AGAIN_AFTER_MS);
    if (answer.theirs) return isOurs(answer.theirs) ? goOnFrom(answer.theirs) : meet(answer.theirs);
    if (answer.words) return void sign('refused', answer.words);
    [number, sent, unsure] = [answer.number, sending, []];
    await write();
    if (isSent()) return void (isKept && sign('saved', number));
    later(SEND_AFTER_MS);
  };

  const wait = (what, ms) => {
    sign(what);
    later(ms);
  };

  const isOurs = ({ state, document }) => state === 'open' && unsure.some((one) => JSON.stringify(one) === JSON.stringify(document));

  const goOnFrom = (ours) => {
    [number, unsure] = [ours.number, []];
    return send();
  };

  const meet = (theirs) => {
    isHeld = true;
    met(theirs);
  };

  const leave = () => {
    [isResting, turn] = [true, turn + 1];
    clearTimeout(timer);
  };

  addEventListener('online', send);
  addEventListener('pagehide', () => { if (!isSent()) write(); });

  return {
    /** The draft has changed. */
    changed: () => {
      if (isResting) return;
      if (!isHeld) sign(isSent() ? 'saved' : 'kept', number);
      write();
      later(SEND_AFTER_MS);
    },
    /** Go on over a draft that came first; `isTaken` where the draft of now is that one. Settles once this is kept here. */
    settle: (theirs, isTaken) => {
      [number, isHeld, unsure] = [theirs.number, false, []];
      if (isTaken) sent = doc();
      if (isTaken) sign('saved', number);
      else send();
      return write();
    },
    send,
    /** Keep here what is drawn, and what is being pressed out. */
    keep: write,
    /** Send what is not sent yet; settles with the number it has on the server, or null where it is not there. */
    flush: async () => {
      await lastSend;
      await send();
      return isSent() ? number : null;
    },
    /** Another tab goes on: all is kept, and sent if that is quickly done; then nothing more is done here. */
    rest: async () => {
      await write();
      await Promise.race([send(), new Promise((resolve) => { setTimeout(resolve, LAST_SEND_MS); })]);
      await write();
      leave();
    },
    stop: leave,
    /** Go on here, from what {number, isSent, unsure} is found. */
    resume: (found) => {
      [number, sent, isHeld, isResting] = [found.number, found.isSent ? doc() : null, false, false];
      unsure = unsureOf(found);
      if (isSent()) sign('saved', number);
      return send();
    },
  };
}
