/* What this phone holds back, in IndexedDB: entries in the order of writing (photos with them), the
   last ones sent, and a few facts. A page and its other tabs see the same; localStorage holds no
   photos and cannot put and count in one step. */
let opened;

function database() {
  opened ??= new Promise((done, failed) => {
    const asked = indexedDB.open('register', 1);
    asked.onupgradeneeded = () => {
      const entries = asked.result.createObjectStore('entries', { keyPath: 'number', autoIncrement: true });
      entries.createIndex('once', 'once', { unique: true });
      asked.result.createObjectStore('facts');
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  return opened;
}

/* Run `work(store)` in one transaction; resolves with the result of the request it returns, once
   the transaction is safely closed. */
async function within(name, mode, work) {
  const base = await database();
  return new Promise((done, failed) => {
    const transaction = base.transaction(name, mode, { durability: 'strict' });
    const asked = work(transaction.objectStore(name));
    transaction.oncomplete = () => done(asked?.result);
    transaction.onabort = transaction.onerror = () => failed(transaction.error);
  });
}

const channel = new BroadcastChannel('register');
const listeners = [];
channel.onmessage = () => listeners.forEach(tell => tell());

/* Call `tell` whenever what is held back has changed, here or in another tab. */
export function watch(tell) {
  listeners.push(tell);
}

function changed() {
  channel.postMessage('changed');
  listeners.forEach(tell => tell());
}

/* Every entry, the first written first. */
export const entries = () => within('entries', 'readonly', store => store.getAll());

/* Keep an entry. A press made twice, or mended, has its `once` and stays in its place. */
export async function keep(entry) {
  await within('entries', 'readwrite', store => {
    const same = store.index('once').get(entry.once);
    same.onsuccess = () => store.put(same.result ? { ...entry, number: same.result.number } : entry);
    return same;
  });
  changed();
}

/* Change an entry that is still there; one that another tab has sent meanwhile stays away. */
export async function alter(number, facts) {
  await within('entries', 'readwrite', store => {
    const found = store.get(number);
    found.onsuccess = () => found.result && store.put({ ...found.result, ...facts });
    return found;
  });
  changed();
}

export async function drop(number) {
  await within('entries', 'readwrite', store => store.delete(number));
  changed();
}

export const fact = name => within('facts', 'readonly', store => store.get(name));
export const setFact = (name, value) => within('facts', 'readwrite', store => store.put(value, name));

/* Everything of a person off this phone: entries, facts and kept pages. What somebody else wrote on
   it still waits for them. */
export async function forget(person) {
  for (const entry of await entries()) {
    if (entry.person === person) await within('entries', 'readwrite', store => store.delete(entry.number));
  }
  await within('facts', 'readwrite', store => store.clear());
  for (const name of await globalThis.caches?.keys() ?? []) {
    if (name.startsWith('pages:')) await caches.delete(name);
  }
  changed();
}
