// Photos on their way to the server. Each is on the phone's storage first, goes once a report names it, and is deleted only
// when the server has said that it is on disk.

import { faultOf } from './answer_fault.js';

const PREFIX = 'photo ';
const RETRY_MS = 15000;
const OTHER_TAB_MS = 1500;
const TIMEOUT_MS = 8000;
const SLOWEST_BYTES_A_MS = 2;
const UNTAKEABLE = [400, 409, 413, 415, 422];

/**
 * An outbox of photos over a keep; `urlOf(id)` is where each is put, null on a page that takes none. `onChange()` comes whenever one was held, sent or
 * refused. Of two tabs one sends at a time.
 */
export function createPhotoOutbox({ keep, urlOf, onChange }) {
  const judged = new Set();
  let entries = new Map();
  let fault = null;
  let [sending, again] = [false, false];

  const read = async () => {
    const keys = await keep.keysOf(PREFIX).catch(() => null);
    if (keys === null) return;
    const found = await Promise.all(keys.map(async (key) => [key.slice(PREFIX.length), await keep.get(key).catch(() => undefined)]));
    entries = new Map(found.filter(([, entry]) => entry !== undefined));
    onChange();
  };

  const put = (id, entry) => keep.set(PREFIX + id, entry).then(() => { entries.set(id, entry); });

  /** Keep a photo's bytes; false when there is no room for them on the phone's storage. */
  const hold = (id, bytes) => put(id, { url: urlOf(id), bytes, named: false, refused: null }).then(() => true, () => false);

  /** Let photos go: a report names them now. */
  const name = async (ids) => {
    for (const id of ids) {
      const entry = await keep.get(PREFIX + id).catch(() => entries.get(id));
      if (entry) await put(id, { ...entry, named: true }).catch(() => entries.set(id, { ...entry, named: true }));
    }
    onChange();
    send();
  };

  /** Forget a photo that no report names. */
  const drop = async (id) => {
    await keep.remove('kept', [PREFIX + id]).catch(() => {});
    entries.delete(id);
  };

  const send = async () => {
    if (sending) { again = true; return; }
    sending = true;
    const isFree = await alone(sendAll).catch((thrown) => { fault = { detail: thrown.message }; return true; });
    sending = false;
    if (!isFree) setTimeout(send, OTHER_TAB_MS);
    onChange();
    if (again) { again = false; send(); }
  };

  const sendAll = async () => {
    await read();
    fault = null;
    for (const [id, entry] of entries) {
      if (entry.named && (entry.refused === null || !judged.has(id))) fault = await sendOne(id, entry).then(() => null, (thrown) => thrown) ?? fault;
      if (fault !== null && !fault.isOurs) return;
    }
  };

  const sendOne = async (id, entry) => {
    const answer = await fetch(entry.url, {
      method: 'PUT',
      headers: { 'Content-Type': 'image/jpeg' },
      body: entry.bytes,
      signal: AbortSignal.timeout(TIMEOUT_MS + Math.ceil(entry.bytes.byteLength / SLOWEST_BYTES_A_MS)),
    });
    if (!answer.ok) return refuse(id, entry, await faultOf(answer));
    const { stored } = await answer.json();
    if (stored !== id) throw new Error('The answer is not a receipt.');
    return drop(id);
  };

  const refuse = async (id, entry, said) => {
    if (!said.isOurs || !UNTAKEABLE.includes(said.status)) throw said;
    judged.add(id);
    await put(id, { ...entry, refused: said.detail }).catch(() => {});
  };

  const start = () => {
    read().then(send);
    addEventListener('online', send);
    document.addEventListener('visibilitychange', () => document.visibilityState === 'visible' && send());
    setInterval(send, RETRY_MS);
  };

  const named = () => [...entries.values()].filter((entry) => entry.named);

  return {
    hold, name, drop, send, start,
    /** {waiting: how many are not on the server, refused: why, of each of them that it would not take, fault: {status, detail} of the last try, or null} */
    state: () => ({
      waiting: named().length,
      refused: named().map(({ refused }) => refused).filter((why) => why !== null),
      fault,
    }),
  };
}

/** Run work while no other tab of this phone sends photos; false when another one does. */
async function alone(work) {
  if (navigator.locks) return navigator.locks.request('fieldapp-photos', { ifAvailable: true }, (lock) => lock !== null && work().then(() => true));
  await work();
  return true;
}
