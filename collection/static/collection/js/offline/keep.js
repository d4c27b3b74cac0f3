/* Brings the pages of the evening onto the phone while the network is there, a few at a time. */
import { fact, setFact } from './store.js';

const root = document.documentElement;
const { person, collection } = root.dataset;
const NAME = `pages:${person}`;
const QUIET_MS = 2_000; // after a page has loaded: the visitor goes first
const PAUSE_MS = 60;
const FRESH_MS = 30 * 60_000;
const LIST_MS = 10 * 60_000;
const MOST_BYTES = 12_000_000;
const MOST_PICTURES = 60;
const PICTURE = /\/photos\//;
const sleep = ms => new Promise(done => setTimeout(done, ms));

/* Somebody else's pages are no business of whoever signs in on the same phone. */
async function dropOthers() {
  for (const name of await caches.keys()) {
    if (name.startsWith('pages:') && name !== NAME) await caches.delete(name);
  }
}

/* Addresses to keep; none for who is no member any more, null when the register cannot say: what
   is kept stays then, since that is when it will be needed. */
async function listed() {
  const known = await fact('kept');
  if (known && known.person === person && known.collection === collection
      && Date.now() - known.at < LIST_MS) return known.pages;
  const answer = await fetch(`/${collection}/waiting/kept/`, { cache: 'no-store', redirect: 'error' });
  if ([403, 404].includes(answer.status)) return [];
  if (!answer.ok) return null;
  const { pages, zone } = await answer.json();
  await setFact('kept', { person, collection, pages, at: Date.now() });
  await setFact('zone', zone);
  return pages;
}

const age = copy => Date.now() - Date.parse(copy.headers.get('Date'));

async function pictures(text, page, cache) {
  const shown = new DOMParser().parseFromString(text, 'text/html').querySelectorAll('main img[src]');
  for (const { src } of [...shown].slice(0, MOST_PICTURES)) {
    const address = new URL(src, page);
    if (address.origin !== location.origin || await cache.match(address)) continue;
    const answer = await fetch(address);
    if (answer.ok) await cache.put(address, answer);
  }
}

/* Keep one page; its size in bytes, 0 when it could not be kept. */
async function keep(page, cache) {
  const answer = await fetch(page, { redirect: 'error', headers: { Accept: 'text/html' } });
  if (!answer.ok) return 0;
  const text = await answer.clone().text();
  await cache.put(page, answer);
  await pictures(text, new URL(page, location), cache);
  return text.length;
}

async function dropUnlisted(pages, cache) {
  const wanted = new Set(pages.map(page => new URL(page, location).href));
  for (const { url } of await cache.keys()) {
    const page = new URL(url);
    const ours = page.pathname.startsWith(`/${collection}/`) && !PICTURE.test(page.pathname);
    if (ours && !wanted.has(url)) await cache.delete(url);
  }
}

async function warm() {
  const pages = await listed();
  if (!pages) return;
  const cache = await caches.open(NAME);
  await dropUnlisted(pages, cache);
  let bytes = 0;
  for (const page of pages) {
    const copy = await cache.match(page);
    if (copy && age(copy) < FRESH_MS) continue;
    if (bytes > MOST_BYTES || !navigator.onLine) return;
    bytes += await keep(page, cache);
    await sleep(PAUSE_MS);
  }
  await setFact('warmed', Date.now());
}

export async function start() {
  if (!person || !('serviceWorker' in navigator)) return; // plain http away from this machine
  await navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' });
  if ('kept' in root.dataset) return;
  await dropOthers();
  await sleep(QUIET_MS);
  await navigator.locks.request('register-keeping', { ifAvailable: true }, async lock => {
    if (lock) await warm().catch(() => {}); // The network went; the next page goes on from here.
  });
}
