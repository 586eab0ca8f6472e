// A draft that is written to the phone's storage with every change, so that a page killed in the middle loses nothing.

/**
 * {follow(), write(draft), isRead(), isFailing()}. `keyOf()` is the name of the draft now; when it changes, what is kept
 * under it is read, made sound by `read(kept)` and given to `onRead(draft)`. One write at a time: while one goes on the
 * newest waits. `write` settles with true when that draft, or a newer one, is stored. Nothing may be written before `isRead()`.
 */
export function createDraftKeep({ keep, keyOf, read, onRead }) {
  let [key, waiting, running, isRead, isFailing] = [null, null, null, false, false];

  const follow = () => {
    const now = keyOf();
    if (now === key) return;
    [key, isRead] = [now, false];
    const take = (kept) => {
      if (key !== now || isRead) return;
      isRead = true;
      onRead(read(kept));
    };
    keep.get(now).then(take, () => { isFailing = true; take(null); });
  };

  const write = (draft) => {
    waiting = { key, draft };
    running ??= writeAll();
    return running;
  };

  const writeAll = async () => {
    while (waiting !== null) {
      const { key: name, draft } = waiting;
      waiting = null;
      isFailing = !await keep.set(name, draft).then(() => true, () => false);
    }
    running = null;
    return !isFailing;
  };

  return { follow, write, isRead: () => isRead, isFailing: () => isFailing };
}
