// What the phone keeps: IndexedDB, each write flushed to disk; localStorage where that fails.

const KEYS = { strikes: 'strike_id', corrections: 'strike_id', kept: 'name' };
const LONGEST_WRITE_MS = 2000; // some browsers let a write hang for ever after the phone slept
const PREFIX = 'pad/';
let opening = null;
let inLocal = false;

/** Where writes go at this moment: 'indexeddb', 'localstorage' or 'none'. */
export let place = 'none';

function connect() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open('strike-ladder-pad', 1);
    request.onupgradeneeded = () => {
      for (const [store, keyPath] of Object.entries(KEYS)) {
        const made = request.result.createObjectStore(store, { keyPath });
        if (store !== 'kept') made.createIndex('state', 'state');
      }
    };
    request.onsuccess = () => {
      request.result.onclose = () => { opening = null; };
      resolve(request.result);
    };
    request.onerror = () => reject(request.error);
  });
  return opening;
}

function inTime(promise) {
  return Promise.race([
    promise,
    new Promise((_, reject) => { setTimeout(() => reject(new Error('storage does not answer')), LONGEST_WRITE_MS); }),
  ]);
}

/** Runs `work(transaction)` and gives what its request holds once everything is on disk. */
async function transact(mode, work, { durability = 'strict' } = {}) {
  const database = await connect();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(Object.keys(KEYS), mode, { durability });
    const request = work(transaction);
    transaction.oncomplete = () => resolve(request?.result);
    transaction.onabort = () => reject(transaction.error ?? new Error('storage refused'));
  });
}

/** `transact`, tried once more on a new connection: phones drop it while they sleep. */
async function surely(mode, work, options) {
  try {
    return await inTime(transact(mode, work, options));
  } catch {
    opening = null;
    return inTime(transact(mode, work, options));
  }
}

const localKey = (store, key) => `${PREFIX}${store}/${key}`;

function localRecords(store) {
  try {
    const names = Object.keys(localStorage).filter((name) => name.startsWith(localKey(store, '')));
    return names.map((name) => JSON.parse(localStorage.getItem(name)));
  } catch {
    return [];
  }
}

function localWrite(changes) {
  for (const [store, records] of Object.entries(changes)) {
    for (const record of records) localStorage.setItem(localKey(store, record[KEYS[store]]), JSON.stringify(record));
  }
}

function localRemove(changes) {
  for (const [store, records] of Object.entries(changes)) {
    for (const record of records) localStorage.removeItem(localKey(store, record[KEYS[store]]));
  }
}

/** Opens the storage, and moves into IndexedDB what once had to go elsewhere. */
export async function open() {
  const stranded = Object.fromEntries(Object.keys(KEYS).map((store) => [store, localRecords(store)]));
  try {
    await surely('readwrite', (transaction) => {
      for (const [store, records] of Object.entries(stranded)) {
        for (const record of records) transaction.objectStore(store).put(record);
      }
    });
    localRemove(stranded);
    place = 'indexeddb';
  } catch {
    try {
      localStorage.setItem(`${PREFIX}try`, '1');
      localStorage.removeItem(`${PREFIX}try`);
      place = 'localstorage';
      inLocal = true;
    } catch {
      place = 'none';
    }
  }
}

/** Writes records, as { store: [records] }; returns only once they are kept. Throws when they could not be. */
export async function write(changes, options) {
  if (place === 'indexeddb') {
    try {
      await surely('readwrite', (transaction) => {
        for (const [store, records] of Object.entries(changes)) {
          for (const record of records) transaction.objectStore(store).put(record);
        }
      }, options);
      return;
    } catch {
      inLocal = true; // from now on, until the page is opened again
      place = 'localstorage';
    }
  }
  localWrite(changes);
}

async function read(store, ask) {
  const found = new Map();
  try {
    const records = await surely('readonly', (transaction) => ask(transaction.objectStore(store)));
    for (const record of [records ?? []].flat()) found.set(record[KEYS[store]], record);
  } catch { /* what localStorage holds is all there is */ }
  return found;
}

/** Every record of a store. */
export async function all(store) {
  const found = await read(store, (from) => from.getAll());
  if (inLocal) for (const record of localRecords(store)) found.set(record[KEYS[store]], record);
  return [...found.values()];
}

/** The records of a store that still wait for the server, the oldest first. */
export async function waiting(store) {
  const found = await read(store, (from) => from.index('state').getAll('waiting'));
  if (inLocal) for (const record of localRecords(store)) found.set(record[KEYS[store]], record);
  const records = [...found.values()].filter((record) => record.state === 'waiting');
  return records.sort((one, other) => (one.strike_id < other.strike_id ? -1 : 1));
}

/** Removes records, as { store: [records] }. */
export async function remove(changes) {
  if (inLocal) localRemove(changes);
  await surely('readwrite', (transaction) => {
    for (const [store, records] of Object.entries(changes)) {
      for (const record of records) transaction.objectStore(store).delete(record[KEYS[store]]);
    }
  }).catch(() => {});
}

/** Keeps one thing under a name. */
export const keep = (name, value) => write({ kept: [{ name, value }] });

/** What was kept under a name, or `otherwise`. */
export async function recall(name, otherwise) {
  const found = await read('kept', (from) => from.get(name));
  if (inLocal) for (const record of localRecords('kept')) found.set(record.name, record);
  return found.get(name)?.value ?? otherwise;
}

/** Takes the right to send for `ms`; false while another tab has it. For pages without the Web Locks API. */
export async function takeLease(owner, ms) {
  let taken = false;
  const claim = (held) => {
    taken = !held || held.value.owner === owner || held.value.until < Date.now();
    return { name: 'lease', value: { owner, until: Date.now() + ms } };
  };
  try {
    await inTime(transact('readwrite', (transaction) => {
      const kept = transaction.objectStore('kept');
      const request = kept.get('lease');
      request.onsuccess = () => {
        const lease = claim(request.result);
        if (taken) kept.put(lease);
      };
    }));
  } catch {
    const lease = claim(localRecords('kept').find((record) => record.name === 'lease'));
    if (taken) localWrite({ kept: [lease] });
  }
  return taken;
}
