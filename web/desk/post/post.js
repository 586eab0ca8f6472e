// The draft's post: every change is kept in this browser at once, and put on the server a little after the last one.

import { putDraft } from './server.js';

const [SEND_AFTER_MS, AGAIN_AFTER_MS, LAST_SEND_MS] = [1500, 8000, 3000];

/**
 * `first` is {number, isSent, isResting}: the number that the draft grew from, whether it is on the server as it is, and whether another
 * tab draws it: then nothing is kept or sent until `resume`. `keep(kept)` writes
 * {number, steps, isSent} in this browser and settles with whether it could. `doc()`, `steps()` and `person()` give the
 * draft, its steps and who signs, null where a name has to be typed first. `sign(what, more)` is told how it stands: 'kept',
 * 'sending', 'saved', 'empty', 'away', 'refused', 'unnamed', 'unkept'. `met(theirs)` is told where somebody else's draft came first; the
 * post then rests until `settle` says to go on over it.
 */
export function createPost({ address, first, keep, doc, steps, person, sign, met }) {
  let [number, sent] = [first.number, first.isSent ? doc() : null];
  let [timer, isSending, isHeld, isKept, isResting] = [null, false, false, true, first.isResting];
  let lastSend = Promise.resolve();

  const isSent = () => doc() === sent;

  const write = async () => {
    if (isResting) return;
    isKept = await keep({ number, steps: steps(), isSent: isSent() });
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
    const sending = doc();
    sign('sending');
    const answer = await putDraft(address, sending, number, person());
    isSending = false;
    if (answer.isAway) return void wait('away', AGAIN_AFTER_MS);
    if (answer.theirs) return void meet(answer.theirs);
    if (answer.words) return void sign('refused', answer.words);
    [number, sent] = [answer.number, sending];
    await write();
    if (isSent()) return void (isKept && sign('saved', number));
    later(SEND_AFTER_MS);
  };

  const wait = (what, ms) => {
    sign(what);
    later(ms);
  };

  const meet = (theirs) => {
    isHeld = true;
    met(theirs);
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
      [number, isHeld] = [theirs.number, false];
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
      isResting = true;
      clearTimeout(timer);
    },
    stop: () => { isResting = true; },
    /** Go on here, from what {number, isSent} is found. */
    resume: (found) => {
      [number, sent, isHeld, isResting] = [found.number, found.isSent ? doc() : null, false, false];
      if (isSent()) sign('saved', number);
      return send();
    },
  };
}
