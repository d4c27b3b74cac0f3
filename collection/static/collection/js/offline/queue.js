/* Sends what waits: one after another in the order of writing, each until the register has said
   that it is written or refused. An entry leaves the phone only after that answer, and its `once`
   makes the register write it once however often it is sent. */
import { alter, drop, entries, fact, setFact } from './store.js';

const TEXT_MS = 30_000;
const PHOTO_MS = 180_000;
const SOON_MS = 5_000; // what went out sooner happened when it arrived
const SENT_KEPT = 30;
const FAILURES = 5; // of the register itself, before an entry stands aside for those behind it

export const waits = entry => entry.state === 'waits';

/* Remember who is to sign in, or that nobody has to. */
const say = standing => setFact('standing', standing);

async function ask(slug, init, address = `/${slug}/waiting/ready/`) {
  try {
    return await fetch(address, { ...init, credentials: 'same-origin', cache: 'no-store' });
  } catch {
    return null; // No network, or it took too long.
  }
}

/* Who is signed in there, with a token and how far the site's clock is ahead; or why not. */
async function standing(slug, member) {
  const before = Date.now();
  const headers = { 'X-Queued': member };
  const answer = await ask(slug, { headers, signal: AbortSignal.timeout(TEXT_MS) });
  if (!answer || answer.status >= 500) return { why: 'network' };
  if (answer.status === 401) return { why: 'signed-out' };
  if (!answer.ok) return { why: 'other' };
  const told = await answer.json();
  return { token: told.token, ahead: Date.parse(told.now) - (before + Date.now()) / 2 };
}

function bodyOf(entry, ahead) {
  const body = new FormData();
  for (const { name, value, file } of entry.fields) {
    if (file) body.append(name, value, file);
    else body.append(name, value);
  }
  body.set('once', entry.once);
  if (entry.waited || Date.now() - entry.at > SOON_MS) body.set('written_at', new Date(entry.at + ahead).toISOString());
  return body;
}

async function post(entry, { token, ahead }) {
  const slow = entry.fields.some(field => field.file);
  const answer = await ask(entry.collection, {
    method: 'POST',
    body: bodyOf(entry, ahead),
    headers: { 'X-Queued': entry.member, 'X-CSRFToken': token },
    signal: AbortSignal.timeout(slow ? PHOTO_MS : TEXT_MS),
  }, entry.to);
  if (!answer) return null;
  const told = await answer.json().catch(() => ({}));
  return { status: answer.status, ...told };
}

async function written(entry, told) {
  const sent = (await fact('sent')) ?? [];
  const { once, what, at, member, name } = entry;
  await setFact('sent', [{ once, what, at, member, name, to: told.to, asks: told.asks, sentAt: Date.now() },
    ...sent].slice(0, SENT_KEPT));
  await drop(entry.number);
}

/* Whether to go on with the next one. */
async function settle(entry, told) {
  if (told?.written) {
    await written(entry, told);
    return true;
  }
  if (told?.refused) {
    await alter(entry.number, { state: 'refused', reasons: told.refused });
    return true;
  }
  if (told?.status === 500) {
    const failures = (entry.failures ?? 0) + 1;
    const reasons = ['The register failed on this five times. It can be sent again.'];
    await alter(entry.number, failures < FAILURES ? { failures } : { failures, state: 'refused', reasons });
    return failures >= FAILURES;
  }
  await alter(entry.number, { waited: true });
  return false;
}

/* Those of one member in one collection; what they may not send stays for whoever wrote it. */
async function sendThose(slug, member) {
  let ready = await standing(slug, member);
  const left = async () => (await entries()).find(
    entry => waits(entry) && entry.collection === slug && entry.member === member);
  let again = true;
  for (let entry = await left(); entry && ready.token; entry = await left()) {
    let told = await post(entry, ready);
    if (told?.status === 403 && again) { // The session began anew: its token is another.
      again = false;
      ready = await standing(slug, member);
      continue;
    }
    again = true;
    if (told?.status === 401) return 'signed-out';
    if (told?.status === 409) return 'other';
    if (!await settle(entry, told)) return 'network';
  }
  return ready.why ?? '';
}

async function sendAll() {
  const groups = new Map();
  for (const entry of (await entries()).filter(waits)) {
    groups.set(`${entry.collection} ${entry.member}`, [entry.collection, entry.member]);
  }
  let why = '';
  for (const [slug, member] of groups.values()) {
    const stopped = await sendThose(slug, member);
    why = stopped || why;
    if (stopped === 'network') break;
  }
  await say(why);
}

/* One tab sends at a time; the others wait for it and find nothing left. */
export async function send() {
  if (!(await entries()).some(waits)) return;
  const locks = navigator.locks;
  // Plain http away from this machine has no locks; there `once` alone keeps entries single.
  await (locks ? locks.request('register-queue', sendAll) : sendAll());
}

/* Where the register led after writing this press, if it has. */
export async function sentTo(once) {
  return ((await fact('sent')) ?? []).find(one => one.once === once)?.to;
}
