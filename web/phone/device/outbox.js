// Records on their way to the server. Each is on the phone's storage first, and leaves the outbox only when the server's
// answer says that its id is on disk.

import { postRecords } from './posting.js';

const BATCH = 50;
const RETRY_MS = 15000;
const SENT_KEPT = 200;
const PATIENCE_MS = 4000;

/** An outbox over a keep. `onChange()` is called whenever something was added, sent or refused. */
export function createOutbox({ keep, url, onChange }) {
  const unkept = new Map();
  let entries = { outbox: [], sent: [] };
  let sending = false;
  let again = false;

  const read = async () => {
    const stored = await Promise.all([keep.all('outbox'), keep.all('sent')]).catch(() => [entries.outbox, entries.sent]);
    const outbox = stored[0].filter((e) => !unkept.has(e.record.id)).concat([...unkept.values()]);
    entries = { outbox, sent: stored[1] };
    onChange();
  };

  /** Keep a record; true when it is on the phone's storage, false when it is only in this page's memory. */
  const add = async (record) => {
    const entry = { record, url, refused: null };
    const kept = await Promise.race([keep.put('outbox', entry).then(() => true, () => false), after(PATIENCE_MS, false)]);
    if (!kept) unkept.set(record.id, entry);
    if (!entries.outbox.concat(entries.sent).some((e) => e.record.id === record.id)) {
      entries = { ...entries, outbox: entries.outbox.concat([entry]) };
    }
    onChange();
    send();
    return kept;
  };

  const send = async () => {
    if (sending) { again = true; return; }
    sending = true;
    await alone(sendAll).catch(() => {});
    sending = false;
    if (again) { again = false; send(); }
  };

  const keepLate = async () => {
    for (const entry of unkept.values()) {
      await keep.put('outbox', entry).then(() => unkept.delete(entry.record.id), () => {});
    }
  };

  const sendAll = async () => {
    await keepLate();
    await read();
    const open = entries.outbox.filter((e) => e.refused === null);
    for (const [to, group] of grouped(open)) {
      for (let i = 0; i < group.length; i += BATCH) await sendBatch(to, group.slice(i, i + BATCH));
    }
  };

  const sendBatch = async (to, batch) => {
    const receipt = await postRecords(to, batch.map((e) => e.record));
    const stored = batch.filter((e) => receipt.stored.includes(e.record.id)).map((e) => ({ ...e, ackedAt: Date.now() }));
    const details = new Map(receipt.refused.map(({ id, detail }) => [id, detail]));
    const refused = batch.filter((e) => details.has(e.record.id)).map((e) => ({ ...e, refused: details.get(e.record.id) }));
    entries = { outbox: entries.outbox.filter((e) => !stored.some((s) => s.record.id === e.record.id)), sent: entries.sent.concat(stored) };
    await keep.move('outbox', 'sent', stored).catch(() => {});
    for (const entry of refused) await keep.put('outbox', entry).catch(() => {});
    stored.forEach((e) => unkept.delete(e.record.id));
    refused.filter((e) => unkept.has(e.record.id)).forEach((e) => unkept.set(e.record.id, e));
    await read();
  };

  /** Forget all but the newest records of which the server has told since `seenAt`. */
  const forgetSeen = async (seenAt) => {
    const seen = entries.sent.filter((e) => e.ackedAt < seenAt).sort((a, b) => b.ackedAt - a.ackedAt).slice(SENT_KEPT);
    if (seen.length) await keep.remove('sent', seen.map((e) => e.record.id)).catch(() => {});
  };

  const start = async () => {
    await read();
    send();
    addEventListener('online', send);
    document.addEventListener('visibilitychange', () => document.visibilityState === 'visible' && send());
    setInterval(send, RETRY_MS);
  };

  return {
    add, send, start, forgetSeen,
    records: () => entries.sent.concat(entries.outbox).map((e) => e.record).sort((a, b) => (a.made_at < b.made_at ? -1 : 1)),
    waiting: () => entries.outbox.length,
    unkept: () => unkept.size,
    refused: () => entries.outbox.filter((e) => e.refused !== null).map((e) => ({ id: e.record.id, detail: e.refused })),
  };
}

/** Run work while no other tab of this page sends. */
function alone(work) {
  if (!navigator.locks) return work();
  return navigator.locks.request('fieldapp-send', { ifAvailable: true }, (lock) => (lock ? work() : undefined));
}

const after = (ms, value) => new Promise((resolve) => { setTimeout(() => resolve(value), ms); });

function grouped(entries) {
  const groups = new Map();
  entries.forEach((e) => groups.set(e.url, (groups.get(e.url) ?? []).concat([e])));
  return groups;
}
