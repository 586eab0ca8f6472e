// A draft that is written to the phone's storage with every change, so that a page killed in the middle loses nothing.

const UNREAD = 'What was begun here before cannot be read from this phone just now. It is tried again; until then nothing is written over it.';
/** The name of the fault of a browser that stores nothing at all: there is nothing to write over. */
const NO_STORAGE = 'NotSupportedError';

/**
 * {follow(), write(draft), isRead(), isFailing(), notices()}. `keyOf()` is the name of the draft now; when it changes, what is kept
 * under it is read, made sound by `read(kept)` and given to `onRead(draft)`. Where the storage does not answer it stays
 * unread, and the next `follow` asks again: what was not read is never written over. One write at a time: while one goes
 * on the newest of each name waits. `write` settles with true when that draft, or a newer one, is stored. `isFailing()`:
 * whether the draft of now could not be read or written the last time; `notices()` tells of one that could not be read.
 */
export function createDraftKeep({ keep, keyOf, read, onRead }) {
  const [waiting, failed] = [new Map(), new Set()];
  let [key, running, isRead, isAsking] = [null, null, false, false];

  const follow = () => {
    const now = keyOf();
    if (now !== key) [key, isRead, isAsking] = [now, false, false];
    if (isRead || isAsking) return;
    isAsking = true;
    ask(now);
  };

  const ask = async (now) => {
    await running;
    const answer = await keep.get(now).then((kept) => ({ kept }), ({ name }) => (name === NO_STORAGE ? {} : null));
    if (key !== now || isRead) return;
    isAsking = false;
    if (answer === null) return void failed.add(now);
    failed.delete(now);
    isRead = true;
    onRead(read(answer.kept));
  };

  const write = (draft) => {
    const now = key;
    if (!isRead) return Promise.resolve(false);
    waiting.set(now, draft);
    running ??= writeAll();
    return running.then(() => !failed.has(now));
  };

  const writeAll = async () => {
    while (waiting.size > 0) {
      const [name, draft] = waiting.entries().next().value;
      waiting.delete(name);
      const isStored = await keep.set(name, draft).then(() => true, () => false);
      if (isStored) failed.delete(name);
      else failed.add(name);
    }
    running = null;
  };

  return { follow, write, isRead: () => isRead, isFailing: () => failed.has(key), notices: () => (!isRead && failed.has(key) ? [{ words: UNREAD, danger: true }] : []) };
}
