/* Show mode: opening a fallback writes 'it died', clocks run, and what cannot be sent waits here.
   Without this file every fallback opens all the same and each form is sent by its own press. */
const KEY = `show-waiting ${location.pathname}`;
const network = document.querySelector('[data-network]');
/* A demo's clock is set apart from the machine's; on a real site there is no data-ahead. */
const ahead = 1000 * Number(document.querySelector('[data-ahead]')?.dataset.ahead || 0);
const now = () => new Date(Date.now() + ahead).toISOString();
const waiting = () => JSON.parse(localStorage.getItem(KEY) || '[]');

function say() {
  const count = waiting().length;
  const there = navigator.onLine && !count;
  network.firstElementChild.dataset.s = there ? 'ok' : 'wait';
  network.firstElementChild.textContent = there
    ? 'Network is there'
    : `${navigator.onLine ? 'Network is back' : 'No network'}: ${count} waiting`;
  network.lastElementChild.textContent = there
    ? 'and every fallback is in this page'
    : 'they go out by themselves; every fallback is in this page';
}

function keep(form) {
  const body = new URLSearchParams(new FormData(form)).toString();
  localStorage.setItem(KEY, JSON.stringify([...waiting(), { to: form.action, body }]));
  say();
}

let sending = false;
async function send() {
  if (sending || !navigator.onLine) return;
  sending = true;
  try {
    for (let left = waiting(); left.length; left = waiting()) {
      const headers = { 'Content-Type': 'application/x-www-form-urlencoded' };
      const answer = await fetch(left[0].to, { method: 'POST', body: left[0].body, headers });
      if (!answer.ok) break;
      localStorage.setItem(KEY, JSON.stringify(waiting().slice(1)));
    }
  } catch { /* Still no network; the next try comes by itself. */ }
  sending = false;
  say();
}

document.addEventListener('submit', event => {
  const pressed = event.target.querySelector('[name="pressed_at"]');
  if (pressed) pressed.value = now();
  if (!pressed || navigator.onLine) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  keep(event.target);
  if (event.target.matches('[data-note]')) event.target.reset();
  else event.target.hidden = true;
}, true);

document.addEventListener('htmx:sendError', event => {
  if (event.target.matches('form')) keep(event.target);
});

/* Sound is back: the same position may die again, and that is another press. */
document.addEventListener('htmx:afterSwap', event => {
  const form = event.target.closest('.fallback')?.querySelector('[data-died]');
  if (!form || event.target.querySelector('[data-back]')) return;
  form.querySelector('[name="once"]').value = crypto.randomUUID();
  form.hidden = false;
});

for (const place of document.querySelectorAll('details.place')) {
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
    const seconds = Math.max(0, Math.round((Date.now() + ahead - Date.parse(since.dataset.since)) / 1000));
    since.textContent = `${Math.floor(seconds / 60)} min ${String(seconds % 60).padStart(2, '0')} s`;
  }
}

addEventListener('online', () => { say(); send(); });
addEventListener('offline', say);
setInterval(tick, 1000);
setInterval(send, 15000);
tick();
say();
send();
