// The draft's post: every change is kept in this browser at once, and put on the server a little after the last one.

import { putDraft } from './server.js';

const [SEND_AFTER_MS, AGAIN_AFTER_MS] = [1500, 8000];

/**
 * `first` is {number, isSent}: the number that the draft grew from, and whether it is on the server as it is. `keep(kept)` writes
 * {number, steps, isSent} in this browser and settles with whether it could. `doc()`, `steps()` and `person()` give the
 * draft, its steps and who signs, null where a name has to be typed first. `sign(what, more)` is told how it stands: 'kept',
 * 'sending', 'saved', 'away', 'refused', 'unnamed', 'unkept'. `met(theirs)` is told where somebody else's draft came first; the
 * post then rests until `settle` says to go on over it.
 */
export function createPost({ address, first, keep, doc, steps, person, sign, met }) {
  let [number, sent] = [first.number, first.isSent ? doc() : null];
  let [timer, isSending, isHeld, isKept] = [null, false, false, true];

  const isSent = () => doc() === sent;

  const write = async () => {
    isKept = await keep({ number, steps: steps(), isSent: isSent() });
    if (!isKept) sign('unkept');
  };

  const later = (ms) => {
    clearTimeout(timer);
    timer = setTimeout(send, ms);
  };

  const send = async () => {
    clearTimeout(timer);
    if (isSending || isHeld || isSent() || doc().outlines.length === 0) return;
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
  };
}
