// In IndexedDB, flushed to disk; in localStorage where that fails.

const LONGEST_MS = 2000; // some browsers let a write hang for ever after the phone slept
const LOCAL = 'pad/';
let opening = null;

/** 'indexeddb', 'localstorage' or 'none'. */
export let place = 'none';

function connect() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open('strike-ladder-pad', 1);
    request.onupgradeneeded = () => request.result.createObjectStore('kept');
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opening;
}

/** Resolves to what the request of `work(store)` found, once all is on disk. */
async function transact(mode, work, durability) {
  const transaction = (await connect()).transaction('kept', mode, { durability });
  const request = work(transaction.objectStore('kept'));
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve(request?.result);
    transaction.onabort = () => reject(transaction.error);
  });
}

/** `transact`, tried again on a new connection: phones drop it while they sleep. */
function surely(...what) {
  const inTime = () => Promise.race([transact(...what), new Promise((_, reject) => {
    setTimeout(reject, LONGEST_MS, new Error('the storage does not answer'));
  })]);
  return inTime().catch(() => {
    opening = null;
    return inTime();
  });
}

const put = (entries, durability) => surely('readwrite', (store) => {
  for (const [key, value] of entries) value === undefined ? store.delete(key) : store.put(value, key);
}, durability);

function putLocal(entries) {
  for (const [key, value] of entries) {
    if (value === undefined) localStorage.removeItem(LOCAL + key);
    else localStorage.setItem(LOCAL + key, JSON.stringify(value));
  }
}

function localEntries(prefix) {
  if (place === 'none') return [];
  return Object.entries(localStorage).filter(([name]) => name.startsWith(LOCAL + prefix))
    .map(([name, text]) => [name.slice(LOCAL.length), JSON.parse(text)]);
}

/** Opens the storage, and moves into IndexedDB what once had to go elsewhere. */
export async function open() {
  try {
    putLocal([['try', 1], ['try']]);
    place = 'localstorage';
  } catch { /* a private window */ }
  try {
    const stranded = localEntries('');
    await put(stranded, 'strict');
    putLocal(stranded.map(([key]) => [key]));
    place = 'indexeddb';
  } catch { /* then it stays as it is */ }
}

/** Writes [key, value] pairs (no value removes). Resolves once they are kept; rejects when they cannot be. */
export async function write(entries, durability = 'strict') {
  if (place === 'indexeddb') {
    try {
      await put(entries, durability);
      return;
    } catch {
      place = 'localstorage'; // until the page is opened again
    }
  }
  putLocal(entries);
}

/** Takes the lease for a tab, in one step that no other tab comes between; gives whether it is its own. */
export async function lease(tab, until) {
  let isOwn = true;
  await surely('readwrite', (store) => {
    store.get('lease').onsuccess = ({ target: { result } }) => {
      isOwn = !(result?.until > Date.now()) || result.tab === tab;
      if (isOwn) store.put({ tab, until }, 'lease');
    };
  }).catch(() => {});
  return isOwn;
}

export async function readAll(prefix) {
  const range = IDBKeyRange.bound(prefix, `${prefix}\uffff`);
  const kept = await surely('readonly', (store) => store.getAll(range)).catch(() => []);
  return [...kept, ...(place === 'localstorage' ? localEntries(prefix).map(([, value]) => value) : [])];
}

export const recall = async (key) => (await readAll(key)).at(-1) ?? null;
