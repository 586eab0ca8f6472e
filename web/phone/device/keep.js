// What stays on this phone: an IndexedDB with three stores. One version for good: add fields, never stores.

const NAME = 'fieldapp';
const VERSION = 1;
const STORES = { outbox: 'record.id', sent: 'record.id', kept: null };

/** A keep. Every call settles only when the storage has finished; a dead connection is opened again once. */
export function createKeep() {
  let opening = null;
  const open = () => {
    opening ??= openDatabase(() => { opening = null; });
    opening.catch(() => { opening = null; });
    return opening;
  };
  const run = async (mode, stores, work) => {
    try {
      return await transact(await open(), mode, stores, work);
    } catch (fault) {
      if (fault.name !== 'InvalidStateError') throw fault;
      opening = null;
      return transact(await open(), mode, stores, work);
    }
  };
  return {
    all: (store) => run('readonly', [store], ([s]) => s.getAll()),
    put: (store, entry) => run('readwrite', [store], ([s]) => s.put(entry)),
    get: (key) => run('readonly', ['kept'], ([s]) => s.get(key)),
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
