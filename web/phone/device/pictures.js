// Small pictures of the pegs, kept on this phone so that they are seen without signal too.

import { pictureOf } from './photo.js';

const PREFIX = 'picture ';
const MOST_KEPT = 200;

/** Pictures over a keep; `urlOf(id)` is where the server has one, `onChange()` comes when another can be drawn. */
export function createPictures({ keep, urlOf, onChange }) {
  const drawn = new Map();
  const asked = new Set();

  const show = async (id, bytes) => {
    drawn.set(id, await pictureOf(bytes));
    onChange();
  };

  const store = (id, bytes) => keep.set(PREFIX + id, { bytes, at: Date.now() }).catch(() => {});

  /** Keep a small picture that this phone has taken. */
  const hold = async (id, bytes) => {
    asked.add(id);
    await store(id, bytes);
    await show(id, bytes).catch(() => {});
    forgetOldest().catch(() => {});
  };

  const fetched = async (id) => {
    const answer = await fetch(`${urlOf(id)}?small=true`);
    if (!answer.ok) throw new Error(`The server answered ${answer.status}.`);
    return answer.arrayBuffer();
  };

  const forgetOldest = async () => {
    const keys = await keep.keysOf(PREFIX);
    if (keys.length <= MOST_KEPT) return;
    const dated = await Promise.all(keys.map(async (key) => [(await keep.get(key)).at, key]));
    const oldest = dated.sort(([a], [b]) => a - b).slice(0, keys.length - MOST_KEPT);
    await keep.remove('kept', oldest.map(([, key]) => key));
  };

  const find = async (id) => {
    const kept = await keep.get(PREFIX + id).catch(() => undefined);
    return kept ? show(id, kept.bytes) : hold(id, await fetched(id));
  };

  /** Have pictures on this phone before the way out: what is not kept is asked for, one after the other. */
  const keepReady = async (ids) => {
    const kept = new Set(await keep.keysOf(PREFIX).catch(() => []));
    for (const id of ids.filter((one) => !kept.has(PREFIX + one))) await fetched(id).then((bytes) => store(id, bytes)).catch(() => {});
    forgetOldest().catch(() => {});
  };

  return {
    hold, keepReady,
    /** Make pictures ready, one after the other: from this phone, else from the server and kept. What is not to be had now is asked for again the next time. */
    find: async (ids) => {
      for (const id of ids.filter((one) => !asked.has(one))) {
        asked.add(id);
        await find(id).catch(() => asked.delete(id));
      }
    },
    /** A picture to draw, or null as long as there is none. */
    of: (id) => drawn.get(id) ?? null,
  };
}
