// What this browser keeps of a bunker on the board: the draft with all its steps, under the name of its bunker.

import { createDraftKeep } from '../../phone/device/draft_keep.js';
import { createKeep } from '../../phone/device/keep.js';

const keyOf = (site, bunker) => `board ${site}/${bunker}`;

/** {read(bunker), readAgain(bunker), write(bunker, kept)}; `read` settles with what is kept, or undefined, and rejects where nobody can tell; `readAgain` finds what another tab wrote since. */
export function createLocal(site) {
  const keep = createKeep();
  const keeps = new Map();
  const of = (bunker) => {
    if (!keeps.has(bunker)) keeps.set(bunker, openKeep(keep, keyOf(site, bunker)));
    return keeps.get(bunker);
  };
  return {
    read: (bunker) => of(bunker).kept,
    readAgain: (bunker) => {
      keeps.delete(bunker);
      return of(bunker).kept;
    },
    write: (bunker, kept) => of(bunker).draft.write(kept),
  };
}

function openKeep(keep, key) {
  const { promise, resolve, reject } = Promise.withResolvers();
  const draft = createDraftKeep({ keep, keyOf: () => key, read: (kept) => kept, onRead: resolve });
  draft.follow();
  setTimeout(() => reject(new Error('This browser does not answer about what it keeps.')), 5000);
  return { draft, kept: promise };
}
