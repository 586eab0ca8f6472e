// A draft that is written to the phone's storage with every change, so that a page killed in the middle loses nothing.

/**
 * {follow(), write(draft), isFailing()}. `keyOf()` is the name of the draft now; when it changes, what is kept under it is
 * read, made sound by `read(kept)` and given to `onRead(draft)`, unless something was written meanwhile. One write at a
 * time: while one goes on the newest waits. `write` settles with true when that draft, or a newer one, is stored.
 */
export function createDraftKeep({ keep, keyOf, read, onRead }) {
  let [key, waiting, running, isFailing] = [null, null, null, false];

  const follow = () => {
    const now = keyOf();
    if (now === key) return;
    key = now;
    waiting = null;
    onRead(null);
    keep.get(now).then((kept) => { if (key === now && running === null && waiting === null) onRead(read(kept)); }, () => { isFailing = true; });
  };

  const write = (draft) => {
    waiting = { key, draft };
    running ??= writeAll().finally(() => { running = null; });
    return running;
  };

  const writeAll = async () => {
    while (waiting !== null) {
      const { key: name, draft } = waiting;
      waiting = null;
      isFailing = !await keep.set(name, draft).then(() => true, () => false);
    }
    return !isFailing;
  };

  return { follow, write, isFailing: () => isFailing };
}
