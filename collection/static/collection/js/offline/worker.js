/* The service worker. `self.kept` comes before it: version and files, from the static manifest. */
const { version, files } = self.kept;
const STATIC = `static:${version}`;
const PATIENCE = 3000;
const HASHED = /\.[0-9a-f]{12}\.\w+$/;
const sleep = ms => new Promise(done => setTimeout(done, ms));

self.addEventListener('install', event => {
  event.waitUntil(caches.open(STATIC).then(cache => cache.addAll(files)).then(() => self.skipWaiting()));
});

self.addEventListener('activate', event => {
  event.waitUntil(caches.keys()
    .then(names => Promise.all(names
      .filter(name => name.startsWith('static:') && name !== STATIC)
      .map(name => caches.delete(name))))
    .then(() => self.clients.claim()));
});

/* A hashed name never changes what it means; any other is asked for first. */
async function file(request) {
  const copy = await caches.match(request);
  if (copy && HASHED.test(new URL(request.url).pathname)) return copy;
  return fetch(request).catch(() => copy ?? Response.error());
}

const here = url => new URL(url).pathname;

/* The cache that keeps a page, and the copy; a question in the address is let go for the list. */
async function copyOf(url) {
  for (const name of await caches.keys()) {
    if (!name.startsWith('pages:')) continue;
    const cache = await caches.open(name);
    const ignoreSearch = here(url).endsWith('/waiting/');
    const copy = await cache.match(url, { ignoreSearch, ignoreVary: true });
    if (copy) return { cache, copy };
  }
  return null;
}

async function fromNetwork(request, kept) {
  const answer = await fetch(request);
  if ([502, 503, 504].includes(answer.status)) throw new Error('no register behind the network');
  const whole = answer.ok && answer.type === 'basic' && !answer.redirected;
  if (kept && whole && here(answer.url) === here(request.url)) await kept.cache.put(request.url, answer.clone());
  return answer;
}

async function marked(copy) {
  const text = await copy.text();
  const date = copy.headers.get('Date') ?? '';
  const page = text.replace('<html', `<html data-kept="${date}"`);
  const headers = new Headers(copy.headers);
  headers.delete('Content-Length');
  headers.delete('Content-Encoding');
  return new Response(page, { status: 200, headers });
}

/* Nothing of it is here: lead to what is. */
async function elsewhere(url) {
  const slug = here(url).split('/')[1];
  if (slug) {
    const list = `/${slug}/waiting/`;
    const kept = await copyOf(new URL(list, url).href);
    if (kept) return Response.redirect(`${list}?missing=1`);
  }
  for (const name of await caches.keys()) {
    if (slug || !name.startsWith('pages:')) continue;
    const pages = await (await caches.open(name)).keys();
    const first = pages.find(page => /^\/[^/]+\/$/.test(here(page.url)));
    if (first) return Response.redirect(first.url);
  }
  return Response.error();
}

async function page(request, network, kept) {
  const answered = network.catch(() => null);
  if (!kept) return await answered ?? elsewhere(request.url);
  return await Promise.race([answered, sleep(PATIENCE)]) ?? marked(kept.copy);
}

async function picture(request) {
  return fetch(request).catch(async () => (await caches.match(request)) ?? Response.error());
}

self.addEventListener('fetch', event => {
  const { request } = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== self.location.origin) return;
  if (here(request.url).startsWith('/static/')) event.respondWith(file(request));
  else if (request.destination === 'image') event.respondWith(picture(request));
  else if (request.mode === 'navigate') {
    const kept = copyOf(request.url);
    const network = kept.then(found => fromNetwork(request, found));
    event.waitUntil(network.catch(() => {}));
    event.respondWith(kept.then(found => page(request, network, found)));
  }
});
