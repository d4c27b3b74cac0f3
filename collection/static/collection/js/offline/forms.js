/* A form with data-queue is kept on the phone before it is sent, so that nothing written is lost
   wherever the network goes meanwhile. With network the page goes on as it would without script. */
import { drop, entries, keep } from './store.js';
import { send, sentTo, waits } from './queue.js';

const PATIENCE = 4000;
const HTMX_MS = 6000;
const root = document.documentElement;
const kept = () => 'kept' in root.dataset;
const sleep = ms => new Promise(done => setTimeout(done, ms));

export function fresh() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map(byte => byte.toString(16).padStart(2, '0')).join('');
}

function labelOf(form, name) {
  const field = form.elements[name];
  const one = field instanceof RadioNodeList ? field[0] : field;
  if (!one || one.type === 'hidden') return '';
  const said = one.closest('fieldset')?.querySelector('legend') ?? one.labels?.[0];
  const text = said?.textContent.replace(/\boptional\b/, '').trim();
  return text || one.getAttribute('aria-label') || name;
}

/* The words of what was chosen, where the value alone is a code. */
function wordsOf(form, name, value, press) {
  if (press?.name === name) return press.textContent.trim().replace(/\s+/g, ' ');
  const field = form.elements[name];
  if (field instanceof HTMLSelectElement) return field.selectedOptions[0]?.textContent.trim();
  const chosen = field instanceof RadioNodeList
    ? [...field].find(one => one.checked && one.value === value)
    : field?.type === 'checkbox' && field;
  return chosen ? chosen.labels?.[0]?.textContent.trim() : '';
}

/* Names sit inside this one on purpose: a form may have a field called 'action'. */
export function entryOf(form, press) {
  const fields = [];
  for (const [name, value] of new FormData(form, press)) {
    if (['csrfmiddlewaretoken', 'once'].includes(name)) continue;
    const label = press?.name === name ? 'Pressed' : labelOf(form, name);
    if (value instanceof File) {
      if (value.size) fields.push({ name, label, value, file: value.name });
    } else {
      fields.push({ name, label, value, words: wordsOf(form, name, value, press) });
    }
  }
  const { collection, member, name, person } = root.dataset;
  return {
    collection, member, name, person, fields, what: form.dataset.queue, state: 'waits',
    to: form.getAttribute('action') || location.pathname + location.search,
    page: location.pathname, at: Date.now(), waited: kept() || !navigator.onLine,
    once: form.elements.once.value || fresh(),
  };
}

function said(form, words) {
  let line = form.nextElementSibling;
  if (!line?.matches('.queue-said')) {
    line = document.createElement('p');
    line.className = 'queue-said';
    line.setAttribute('role', 'status');
    form.after(line);
  }
  line.textContent = words;
}

function anew(form) {
  form.reset();
  form.elements.once.value = fresh();
}

async function outcome(once) {
  const to = await sentTo(once);
  if (to) return { to };
  const left = (await entries()).find(entry => entry.once === once);
  return left?.state === 'refused' ? { refused: left } : {};
}

function keptOnPhone(form) {
  if (!form.matches('[data-quiet]')) said(form, 'Kept on this phone. It goes out by itself once the network is there.');
  anew(form);
  form.dispatchEvent(new CustomEvent('queue:kept', { bubbles: true }));
}

async function through(form, press) {
  const entry = entryOf(form, press);
  form.elements.once.value = entry.once;
  try {
    await keep(entry);
  } catch { // no room, or a browser that keeps nothing in a private window
    if (navigator.onLine) plainly(form, press);
    else said(form, 'This phone has no room to keep it: try without the photo.');
    return;
  }
  if (entry.waited) {
    keptOnPhone(form);
    send();
    return;
  }
  await Promise.race([send(), sleep(PATIENCE)]);
  const { to, refused } = await outcome(entry.once);
  if (to) location.assign(to);
  else if (refused) plainly(form, press);
  else keptOnPhone(form);
}

/* The register says on its own page what is wrong; that page takes the entry over, see `mended`. */
function plainly(form, press) {
  form.dataset.plain = '';
  form.noValidate = true;
  form.requestSubmit(press);
}

/* htmx sends a press when the network is there; it is kept all the same until that has worked. */
async function besides(form, press) {
  const entry = { ...entryOf(form, press), waited: true };
  form.elements.once.value = form.dataset.sending = entry.once;
  await keep({ ...entry, state: 'page' });
}

function sayThatItNeedsNetwork(event, form) {
  if (navigator.onLine || form.method !== 'post' || form.matches('.light, [data-sign-out]')) return;
  event.preventDefault();
  said(form, 'This needs the network; nothing was sent.');
}

document.addEventListener('submit', event => {
  const form = event.target;
  const press = event.submitter ?? undefined;
  if (!form.matches('[data-queue]') || press?.matches('[data-asks]')) {
    sayThatItNeedsNetwork(event, form);
    return;
  }
  if ('plain' in form.dataset) return;
  if (form.hasAttribute('hx-post') && navigator.onLine && !kept() && !root.dataset.waiting) {
    besides(form, press);
    return;
  }
  event.preventDefault();
  event.stopImmediatePropagation();
  if ('busy' in form.dataset) return; // a second tap on the same press
  form.dataset.busy = '';
  through(form, press).finally(() => delete form.dataset.busy);
}, true);

document.addEventListener('htmx:configRequest', event => {
  if (event.target.matches?.('[data-queue]')) event.detail.timeout = HTMX_MS;
});

document.addEventListener('htmx:afterRequest', async event => {
  const once = event.target.dataset?.sending;
  if (!once) return;
  const entry = (await entries()).find(one => one.once === once);
  if (!entry) return;
  if (event.detail.successful) {
    await drop(entry.number);
  } else {
    await keep({ ...entry, state: 'waits' });
    event.target.dispatchEvent(new CustomEvent('queue:kept', { bubbles: true }));
    send();
  }
});

/* A press whose page was left before htmx had its answer goes out from here. */
async function release() {
  for (const entry of await entries()) {
    if (entry.state === 'page' && Date.now() - entry.at > 2 * HTMX_MS) await keep({ ...entry, state: 'waits' });
  }
}

/* This page shows what was refused, with what was typed: it is being mended here. */
async function mended() {
  const shown = new Set([...document.querySelectorAll('[data-queue] [name="once"]')].map(one => one.value));
  for (const entry of await entries()) {
    if (entry.state === 'refused' && shown.has(entry.once)) await drop(entry.number);
  }
}

/* A kept page carries the tokens of the visit that it was kept on; used twice they would make
   the second entry look like the first. */
if (kept()) {
  for (const once of document.querySelectorAll('[data-queue] [name="once"]')) once.value = fresh();
} else {
  mended();
}

export async function waitingCount() {
  await release();
  return (await entries()).filter(waits);
}
