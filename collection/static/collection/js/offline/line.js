/* The line at the top of each page that says what waits, the mark of a kept copy, and the question
   before signing out. */
import { entries, fact, forget, watch } from './store.js';
import { waitingCount } from './forms.js';
import { send } from './queue.js';
import { moment, number, zone } from './said.js';

const AGAIN_MS = 15_000;
const root = document.documentElement;
const find = name => document.querySelector(`[data-${name}]`);

function reason(waiting, standing) {
  const { member, collection } = root.dataset;
  const own = waiting.filter(entry => entry.member === member && entry.collection === collection);
  if (!member || standing === 'signed-out') return ' · sign in to send';
  if (!own.length) return ` · written by ${waiting[0].name}, who has to sign in`;
  return '';
}

async function words(waiting, refused) {
  const said = [];
  if (waiting.length) {
    const first = moment(waiting[0].at, await zone());
    const count = number(waiting.length, 'waits', 'wait');
    said.push(`${count} to be sent · the first from ${first}${reason(waiting, await fact('standing'))}`);
  }
  if (refused) said.push(number(refused, 'was refused', 'were refused'));
  return said.join(' · ');
}

async function draw() {
  const waiting = await waitingCount();
  const all = await entries();
  const refused = all.filter(entry => entry.state === 'refused').length;
  root.toggleAttribute('data-waiting', waiting.length > 0);
  const line = find('waits');
  line.hidden = !(waiting.length || refused);
  line.toggleAttribute('data-refused', refused > 0);
  const said = find('waits-said');
  said.textContent = await words(waiting, refused);
  if (root.dataset.collection) said.href = `/${root.dataset.collection}/waiting/`;
}

async function mark() {
  if (!root.dataset.kept) return;
  const line = find('kept-mark');
  line.textContent = `No network: this page is as of ${moment(Date.parse(root.dataset.kept), await zone())}`;
  line.hidden = false;
}

/* Nothing of this phone's holder stays after signing out; what waits would be lost, so ask. */
async function leave(form) {
  if (!navigator.onLine) {
    ask('There is no network. Signing out needs it; until then everything stays as it is.', null);
    return;
  }
  const { person } = root.dataset;
  const left = (await entries()).filter(entry => entry.person === person);
  if (!left.length) {
    await forget(person);
    form.submit();
    return;
  }
  const count = number(left.length, 'entry on this phone is', 'entries on this phone are');
  ask(`${count} not in the book yet. Signing out takes them off this phone for good.`, async () => {
    await forget(person);
    form.submit();
  });
}

function ask(said, goes) {
  const dialog = find('leaving');
  find('leaving-said').textContent = said;
  find('leave').hidden = !goes;
  find('stay').textContent = goes ? 'Stay, let them be sent' : 'Stay';
  find('stay').onclick = () => { dialog.close(); send(); };
  find('leave').onclick = () => { dialog.close(); goes(); };
  dialog.showModal();
}

document.addEventListener('submit', event => {
  if (!event.target.matches('[data-sign-out]')) return;
  event.preventDefault();
  leave(event.target);
});

export function start() {
  watch(draw);
  addEventListener('online', () => send().then(draw));
  addEventListener('offline', draw);
  document.addEventListener('visibilitychange', () => document.hidden || send());
  setInterval(send, AGAIN_MS);
  mark();
  draw().then(send).then(draw);
}
