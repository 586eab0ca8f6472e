// Records on their way to the server. Each is on the phone's storage first, and leaves the outbox only when the server's
// answer says that its id is on disk.

import { postRecords } from './posting.js';
import { forgettable, inOrder, nextNth } from './record_order.js';

const LARGEST_BATCH = 50;
const RETRY_MS = 15000;
const SENT_KEPT = 200;
const OTHER_TAB_MS = 1500;

/**
 * An outbox over a keep. `onChange()` is called whenever something was added, sent, refused or could not be sent,
 * `onRevisions({bunker: revision})` with what stands where records of this site were taken in.
 */
export function createOutbox({ keep, url, onChange, onRevisions = () => {} }) {
  const unkept = new Map();
  const acked = new Map();
  const faults = new Map();
  const judged = new Set();
  let entries = { outbox: [], sent: [] };
  let unread = true;
  let sending = false;
  let again = false;
  let most = LARGEST_BATCH;

  /** Read what is stored; what this page holds in memory and the storage does not (lost or full) stays all the same. */
  const read = async () => {
    const stored = await Promise.all([keep.all('outbox'), keep.all('sent')]).catch(() => null);
    unread &&= stored === null;
    const [outbox, sent] = stored ?? [entries.outbox, entries.sent];
    const waiting = outbox.filter((e) => !unkept.has(e.record.id) && !acked.has(e.record.id)).concat([...unkept.values()]);
    const known = idsOf(outbox, sent, [...unkept.values()], [...acked.values()]);
    entries = {
      outbox: waiting.concat(entries.outbox.filter((e) => !known.has(e.record.id))),
      sent: sent.concat([...acked.values()].filter((e) => !idsOf(sent).has(e.record.id))),
    };
    onChange();
  };

  /** Keep a record; true when it is on the phone's storage, false when it is only in this page's memory. */
  const add = async (record) => {
    const entry = { record, url, refused: null, nth: nextNth(entries.outbox.concat(entries.sent)) };
    const kept = await keep.put('outbox', entry).then(() => true, () => false);
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
    try {
      if (!await alone(sendAll)) setTimeout(send, OTHER_TAB_MS);
    } catch (fault) {
      faults.set(url, { status: 0, message: `this page could not send (${fault.message}).` });
    } finally {
      sending = false;
    }
    onChange();
    if (again) { again = false; send(); }
  };

  const keepLate = async () => {
    const lost = await keep.all('outbox').then((held) => open().filter((e) => !idsOf(held).has(e.record.id)), () => []);
    await Promise.all([...lost, ...unkept.values()]
      .map((entry) => keep.put('outbox', entry).then(() => unkept.delete(entry.record.id), () => {})));
  };

  const open = () => inOrder(entries.outbox.filter((e) => e.refused === null));
  const refused = () => inOrder(entries.outbox.filter((e) => e.refused !== null));

  /** What waits, and after it what was refused before this page was opened: a server brought up to date may take it. */
  const toSend = () => open().concat(refused().filter((e) => !judged.has(e.record.id)));

  const sendAll = async () => {
    await keepLate();
    await read();
    const groups = grouped(toSend());
    faults.forEach((_, to) => groups.has(to) || faults.delete(to));
    for (const [to, group] of groups) await sendGroup(to, group);
  };

  /**
   * Send what goes to one address. What the server will not take holds up neither its other batches nor another address.
   * A batch that did not get through is tried by halves the next time; batches grow again with every one that does.
   */
  const sendGroup = async (to, group) => {
    let [met, rest, isBroken] = [null, group, false];
    while (rest.length > 0 && !isBroken) {
      const batch = rest.filter((e) => (e.refused === null) === (rest[0].refused === null)).slice(0, most);
      const fault = await sendBatch(to, batch).then(() => null, (thrown) => thrown);
      met ??= fault;
      isBroken = fault !== null && !fault.isOurs;
      most = isBroken ? Math.max(1, Math.floor(batch.length / 2)) : Math.min(LARGEST_BATCH, most * 2);
      rest = rest.slice(batch.length);
    }
    if (met === null) faults.delete(to);
    else faults.set(to, met);
  };

  const sendBatch = async (to, batch) => {
    const receipt = await postRecords(to, batch.map((e) => e.record));
    const now = batch.map((e) => entries.outbox.find(({ record }) => record.id === e.record.id) ?? e);
    const stored = now.filter((e) => receipt.stored.includes(e.record.id)).map((e) => ({ ...e, ackedAt: Date.now() }));
    const details = new Map(receipt.refused.map(({ id, detail }) => [id, detail]));
    const turnedAway = now.filter((e) => details.has(e.record.id)).map((e) => ({ ...e, refused: details.get(e.record.id) }));
    turnedAway.forEach((e) => judged.add(e.record.id));
    entries = { outbox: entries.outbox.filter((e) => !stored.some((s) => s.record.id === e.record.id)), sent: entries.sent.concat(stored) };
    await keep.move('outbox', 'sent', stored).catch(() => stored.forEach((e) => acked.set(e.record.id, e)));
    await Promise.all(turnedAway.map((entry) => keep.put('outbox', entry).catch(() => {})));
    stored.forEach((e) => unkept.delete(e.record.id));
    turnedAway.filter((e) => unkept.has(e.record.id)).forEach((e) => unkept.set(e.record.id, e));
    await read();
    if (to === url) onRevisions(receipt.revisions);
  };

  /** Forget all but the newest records of which the server has told since `seenAt`. */
  const forgetSeen = async (seenAt) => {
    const old = forgettable(entries, seenAt, SENT_KEPT);
    if (old.length) await keep.remove('sent', old.map((e) => e.record.id)).catch(() => {});
  };

  const start = async () => {
    await read();
    send();
    addEventListener('online', send);
    document.addEventListener('visibilitychange', () => document.visibilityState === 'visible' && send());
    setInterval(send, RETRY_MS);
  };

  /** Note something about every record the server refused, on the phone's storage too; they stay there until the server takes them. */
  const markRefused = async (note) => {
    const noted = new Map(refused().filter((e) => !e.putAway).map((e) => [e.record.id, { ...e, ...note }]));
    const renew = (e) => noted.get(e.record.id) ?? e;
    entries = { ...entries, outbox: entries.outbox.map(renew) };
    [...unkept].forEach(([id, e]) => unkept.set(id, renew(e)));
    await Promise.all([...noted.values()].map((entry) => keep.put('outbox', entry).catch(() => {})));
    onChange();
  };

  return {
    add, read, send, start, forgetSeen, markRefused,
    /** All records of this phone, each list in the order made: {unsent, refused, sent}. */
    handOver: () => Object.fromEntries(Object.entries({ unsent: open(), refused: refused(), sent: inOrder(entries.sent) })
      .map(([name, list]) => [name, list.map((e) => e.record)])),
    records: () => inOrder(entries.sent.concat(entries.outbox)).map((e) => e.record),
    /** {unread: whether the storage could not be looked into yet, waiting, unkept: counts, oldestAt (ms or null), refused: [{id, detail, handedOver}], faults: [{status (undefined: not reached), detail, count}]} */
    state: () => ({
      unread,
      waiting: open().length,
      unkept: unkept.size,
      oldestAt: open().length ? Math.min(...open().map((e) => Date.parse(e.record.made_at))) : null,
      refused: refused().filter((e) => !e.putAway).map((e) => ({ id: e.record.id, detail: e.refused, handedOver: e.handedOver ?? null })),
      faults: [...faults].map(([to, { status, message }]) => ({ status, detail: message, count: open().filter((e) => e.url === to).length })),
    }),
  };
}

/** Run work while no other tab of this page sends; false when another one does. */
async function alone(work) {
  if (navigator.locks) return navigator.locks.request('fieldapp-send', { ifAvailable: true }, (lock) => lock && work().then(() => true));
  await work();
  return true;
}

const idsOf = (...lists) => new Set(lists.flat().map((e) => e.record.id));

function grouped(entries) {
  const groups = new Map();
  entries.forEach((e) => groups.set(e.url, (groups.get(e.url) ?? []).concat([e])));
  return groups;
}
