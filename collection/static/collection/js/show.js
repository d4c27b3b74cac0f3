/* Show mode: opening a fallback writes 'it died' and clocks run. What has no network waits as on
   every page, see offline/. Without this file every fallback opens all the same and each form is
   sent by its own press. */
import { entries, watch } from './offline/store.js';
import { fresh } from './offline/forms.js';
import { ahead } from './offline/said.js';

const network = document.querySelector('[data-network]');
const kept = 'kept' in document.documentElement.dataset;

function say() {
  const there = navigator.onLine && !kept;
  const [state, small] = network.children;
  state.dataset.s = there ? 'ok' : 'wait';
  state.textContent = there ? 'Network is there' : 'No network';
  small.textContent = there
    ? 'and every fallback is in this page'
    : 'every fallback is in this page, every press is kept';
}

const path = form => form && new URL(form.action).pathname;

/* Silence that the register does not know of yet: the last press that waits for a place decides. */
async function silences() {
  const held = await entries();
  for (const place of document.querySelectorAll('.place')) {
    const died = place.querySelector('[data-died]');
    const here = place.querySelector('[data-silent]');
    if (!died || !here) continue;
    const back = path(here.querySelector('form'));
    const last = held.findLast(one => one.state === 'waits' && [path(died), back].includes(one.to));
    const silent = last?.to === path(died);
    here.hidden = !silent;
    if (silent) {
      died.hidden = true;
      here.querySelector('[data-since]').dataset.since = new Date(last.at + ahead).toISOString();
    } else if (last) {
      died.hidden = false;
    }
  }
  tick();
}

/* Sound is back: the same position may die again, and that is another press. */
document.addEventListener('htmx:afterSwap', event => {
  const form = event.target.closest('.fallback')?.querySelector('[data-died]');
  if (!form || event.target.querySelector('[data-back]')) return;
  form.querySelector('[name="once"]').value = fresh();
  form.hidden = false;
});

/* Here opening a place writes its death, so no press for it is shown: after 'Swapped' it would lie
   under the same thumb, and a second tap would be a second death. */
for (const place of document.querySelectorAll('details.place')) {
  place.querySelector('[data-died] button')?.remove();
  place.addEventListener('toggle', () => {
    const form = place.querySelector('[data-died]');
    if (!place.open || !form || form.hidden) return;
    form.requestSubmit();
    form.hidden = true;
  });
}

function tick() {
  for (const clock of document.querySelectorAll('[data-clock]')) {
    clock.textContent = new Intl.DateTimeFormat('en-GB', {
      hour: '2-digit', minute: '2-digit', timeZone: clock.dataset.clock,
    }).format(Date.now() + ahead);
  }
  for (const since of document.querySelectorAll('[data-since]')) {
    if (!since.dataset.since) continue;
    const seconds = Math.max(0, Math.round((Date.now() + ahead - Date.parse(since.dataset.since)) / 1000));
    since.textContent = `${Math.floor(seconds / 60)} min ${String(seconds % 60).padStart(2, '0')} s`;
  }
}

addEventListener('online', say);
addEventListener('offline', say);
watch(silences);
setInterval(tick, 1000);
tick();
say();
silences();
