/* The page of what waits: every entry with what was typed; a refused one can be mended or discarded. */
import { alter, drop, entries, fact, watch } from './store.js';
import { send, waits } from './queue.js';
import { moment, zone } from './said.js';

const root = document.documentElement;
const template = document.querySelector('template[data-entry]');
const part = name => document.querySelector(`[data-section="${name}"]`);
let mending = null; // number of the entry that is open for mending: it is not drawn anew

function element(tag, text, facts = {}) {
  const made = Object.assign(document.createElement(tag), facts);
  made.textContent = text;
  return made;
}

function press(words, act, grave = false) {
  const made = element('button', words, { type: 'button', className: `press small-press${grave ? ' grave' : ''}` });
  made.addEventListener('click', () => act(made));
  return made;
}

/* Discarding takes two presses; the first says what the second does. */
const discard = entry => press('Discard', pressed => {
  if (pressed.dataset.sure) {
    mending = null;
    drop(entry.number);
    return;
  }
  pressed.dataset.sure = '1';
  pressed.textContent = 'Discard it for good';
}, true);

const shown = field => field.label && (field.file || field.value);

function typed(entry, list) {
  if (entry.person !== root.dataset.person) return; // its words are for whoever wrote it
  for (const field of entry.fields.filter(shown)) {
    const line = document.createElement('div');
    line.append(element('dt', field.label), element('dd', field.words || field.file || field.value));
    list.append(line);
  }
}

/* Text is put right here; what was chosen from a list keeps its words and is chosen on its page. */
function mend(entry, line) {
  const form = line.querySelector('[data-mend]');
  mending = entry.number;
  entry.fields.forEach((field, index) => {
    if (!shown(field) || field.file || field.words) return;
    const box = element('div', '', { className: 'field' });
    const label = element('label', field.label, { htmlFor: `mend-${index}` });
    const input = Object.assign(document.createElement('input'), { id: `mend-${index}`, value: field.value });
    input.addEventListener('input', () => { field.value = input.value; });
    box.append(label, input);
    form.append(box);
  });
  const again = element('button', 'Send it again', { className: 'press first' });
  form.append(again);
  form.addEventListener('submit', async event => {
    event.preventDefault();
    mending = null;
    await sendAgain(entry);
  });
  form.hidden = false;
  line.querySelector('[data-typed]').hidden = true;
  line.querySelector('[data-presses]').replaceChildren(discard(entry));
  (form.querySelector('input') ?? again).focus();
}

/* It keeps its `once` and its time: what was refused has not been written. */
async function sendAgain(entry) {
  await alter(entry.number, { fields: entry.fields, state: 'waits', reasons: [], failures: 0, waited: true });
  await send();
}

function presses(entry, line) {
  const box = line.querySelector('[data-presses]');
  if (entry.state === 'refused' && entry.member === root.dataset.member) {
    box.append(press('Put it right', () => mend(entry, line)));
  }
  box.append(discard(entry));
  if (entry.page) box.append(element('a', 'Its page', { className: 'go', href: entry.page }));
}

function lineOf(entry, timeZone) {
  const line = template.content.cloneNode(true).firstElementChild;
  const within = name => line.querySelector(`[data-${name}]`);
  within('what').textContent = entry.what;
  if (entry.member !== root.dataset.member) within('who').textContent = ` by ${entry.name}, who has to sign in to send it`;
  within('at').textContent = moment(entry.at, timeZone);
  for (const reason of entry.reasons ?? []) within('reasons').append(element('p', reason, { className: 'wrong-note' }));
  typed(entry, within('typed'));
  presses(entry, line);
  return line;
}

function sentLine(one, timeZone) {
  const line = template.content.cloneNode(true).firstElementChild;
  line.querySelector('[data-what]').textContent = one.what;
  line.querySelector('[data-at]').textContent = `${moment(one.at, timeZone)}, sent ${moment(one.sentAt, timeZone)}`;
  for (const asked of one.asks ?? []) line.querySelector('[data-reasons]').append(element('p', asked));
  return line;
}

function fill(name, lines, empty) {
  const section = part(name);
  section.querySelector('[data-list]').replaceChildren(...lines);
  section.querySelector('[data-count]').textContent = lines.length || '';
  if (!empty) section.hidden = !lines.length;
}

async function draw() {
  if (mending !== null) return;
  const timeZone = await zone();
  const all = await entries();
  const waiting = all.filter(waits);
  fill('refused', all.filter(one => one.state === 'refused').map(one => lineOf(one, timeZone)));
  fill('waiting', waiting.map(one => lineOf(one, timeZone)), true);
  const sent = ((await fact('sent')) ?? []).filter(one => one.member === root.dataset.member);
  fill('sent', sent.map(one => sentLine(one, timeZone)));
  document.querySelector('[data-empty]').hidden = waiting.length > 0;
  document.querySelector('[data-send]').hidden = !waiting.length;
}

async function keptPages() {
  if (!globalThis.caches) return;
  const name = `pages:${root.dataset.person}`;
  const timeZone = await zone();
  const list = document.querySelector('[data-kept-list]');
  const pieces = document.querySelector('[data-kept-pieces]');
  const cache = await caches.open(name);
  for (const { url } of await cache.keys()) {
    const copy = await cache.match(url);
    const said = copy.headers.get('Content-Type')?.startsWith('text/html')
      && /<title>([^<]*)<\/title>/.exec(await copy.text())?.[1].split(' · ')[0];
    if (!said) continue;
    const line = document.createElement('li');
    const words = document.createElement('p');
    words.append(element('a', new DOMParser().parseFromString(said, 'text/html').body.textContent, { href: url }));
    line.append(words, element('span', moment(Date.parse(copy.headers.get('Date')), timeZone), { className: 'when' }));
    (/\/(bench|places)\/.+\/[A-Z]/.test(new URL(url).pathname) ? pieces : list).append(line);
  }
  document.querySelector('[data-kept-more]').hidden = !pieces.children.length;
}

document.querySelector('[data-send]').addEventListener('click', () => send().then(draw));
document.querySelector('[data-missing]').hidden = !new URLSearchParams(location.search).has('missing');
watch(draw);
draw();
keptPages();
