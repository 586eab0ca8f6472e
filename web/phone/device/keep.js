// What stays on this phone: an IndexedDB with three stores. One version for good: add fields, never stores.

const NAME = 'fieldapp';
const VERSION = 1;
const STORES = { outbox: 'record.id', sent: 'record.id', kept: null };
const LIMIT_MS = 4000;
const GIVEN_UP = ['InvalidStateError', 'TimeoutError'];

/**
 * A keep. Every call settles when the storage has finished, and rejects when that takes longer than 4 s: phones let a
 * connection die in the background without a word. The next call opens another one. What was asked for may still come
 * about after a rejection, so asking again must do no harm.
 */
export function createKeep() {
  let opening = null;
  const forget = (one) => { if (opening === one) opening = null; };
  const open = () => {
    if (opening !== null) return opening;
    const made = openDatabase(() => forget(made));
    opening = made;
    made.catch(() => forget(made));
    return made;
  };
  const once = async (...asked) => {
    const used = open();
    const work = used.then((database) => transact(database, ...asked));
    try {
      return await Promise.race([work, timeOut()]);
    } catch (fault) {
      if (GIVEN_UP.includes(fault.name)) forget(used);
      if (fault.name === 'TimeoutError') used.then((database) => database.close(), () => {});
      throw fault;
    }
  };
  const run = (...asked) => once(...asked).catch((fault) => {
    if (fault.name !== 'InvalidStateError') throw fault;
    return once(...asked);
  });
  return {
    all: (store) => run('readonly', [store], ([s]) => s.getAll()),
    put: (store, entry) => run('readwrite', [store], ([s]) => s.put(entry)),
    get: (key) => run('readonly', ['kept'], ([s]) => s.get(key)),
    keysOf: (prefix) => run('readonly', ['kept'], ([s]) => s.getAllKeys(IDBKeyRange.bound(prefix, `${prefix}\uffff`))),
    set: (key, value) => run('readwrite', ['kept'], ([s]) => s.put(value, key)),
    move: (from, to, entries) => run('readwrite', [from, to], ([a, b]) => entries.forEach((entry) => {
      a.delete(entry.record.id);
      b.put(entry);
    })),
    remove: (store, ids) => run('readwrite', [store], ([s]) => ids.forEach((id) => s.delete(id))),
  };
}

function openDatabase(onLost) {
  return new Promise((resolve, reject) => {
    if (!('indexedDB' in globalThis)) throw new DOMException('This browser has no IndexedDB.', 'NotSupportedError');
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => Object.entries(STORES)
      .forEach(([name, keyPath]) => request.result.createObjectStore(name, keyPath ? { keyPath } : {}));
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const database = request.result;
      database.onversionchange = () => database.close();
      database.onclose = onLost;
      resolve(database);
    };
  });
}

function transact(database, mode, stores, work) {
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(stores, mode, { durability: 'strict' });
    const request = work(stores.map((name) => transaction.objectStore(name)));
    transaction.oncomplete = () => resolve(request?.result);
    transaction.onabort = () => reject(transaction.error ?? new DOMException('Storage gave up.', 'AbortError'));
  });
}

function timeOut() {
  return new Promise((_, reject) => {
    setTimeout(() => reject(new DOMException('The storage does not answer.', 'TimeoutError')), LIMIT_MS);
  });
}
