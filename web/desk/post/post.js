// The draft's post: every change is kept in this browser at once, and put on the server a little after the last one.

import { askDraft, putDraft } from './server.js';

const [SEND_AFTER_MS, AGAIN_AFTER_MS] = [1500, 8000];

/**
 * `kept` is {number, base, steps, isSent}: the number the draft grew from, the draft of that number as it was, all steps,
 * and whether the draft of now is on the server. `keep(kept)` writes it in this browser and settles with whether it could.
 * `doc()` and `steps()` give the draft and its steps; `sign(what, more)` is told how it stands: 'kept', 'sending', 'saved',
 * 'away', 'refused', 'unkept'. `met(theirs, base)` is told once where somebody else's draft came first; the post then rests
 * until `settle` says over which number to go on.
 */
export function createPost({ address, first, keep, doc, steps, sign, met }) {
  let [number, base, sent] = [first.number, first.base, first.isSent ? doc() : null];
  let [timer, isSending, isHeld, isKept] = [null, false, false, true];

  const isSent = () => doc() === sent;

  const write = async () => {
    isKept = await keep({ number, base, steps: steps(), isSent: isSent() });
    if (!isKept) sign('unkept');
  };

  const later = (ms) => {
    clearTimeout(timer);
    timer = setTimeout(send, ms);
  };

  const send = async () => {
    clearTimeout(timer);
    if (isSending || isHeld || isSent() || doc().outlines.length === 0) return;
    isSending = true;
    const sending = doc();
    sign('sending');
    const answer = await putDraft(address(), sending, number);
    isSending = false;
    if (answer.isAway) return void wait('away', AGAIN_AFTER_MS);
    if (answer.isBehind) return void meet();
    if (answer.words) return void sign('refused', answer.words);
    [number, base, sent] = [answer.number, sending, sending];
    await write();
    if (isSent()) return void (isKept && sign('saved', number));
    later(SEND_AFTER_MS);
  };

  const wait = (what, ms) => {
    sign(what);
    later(ms);
  };

  const meet = async () => {
    isHeld = true;
    const theirs = await askDraft(address());
    if (theirs.isAway) {
      isHeld = false;
      return void wait('away', AGAIN_AFTER_MS);
    }
    if (theirs.words) return void sign('refused', theirs.words);
    return met(theirs, base);
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
    /** Go on over the number of a draft [theirs] that came first; `isTaken` where the draft of now is that one. */
    settle: (theirs, isTaken) => {
      [number, base, isHeld] = [theirs.number, theirs.document, false];
      if (isTaken) sent = doc();
      if (isTaken) sign('saved', number);
      else send();
      return write();
    },
    send,
    meet,
    write,
  };
}
