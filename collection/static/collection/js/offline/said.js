/* Times and counts as this site says them: on the clock and in the zone of the evening. */
import { fact } from './store.js';

const root = document.documentElement;
/* A demo's clock is set apart from the machine's; on a real site there is no data-ahead. */
export const ahead = 1000 * Number(root.dataset.ahead || 0);

export async function zone() {
  return (await fact('zone')) ?? root.dataset.zone ?? undefined;
}

/* A moment of this machine, in milliseconds: '21:14', with its day when that is not today. */
export function moment(ms, timeZone) {
  const at = new Date(ms + ahead);
  const time = at.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit', timeZone });
  const day = date => date.toLocaleDateString('en-GB', { weekday: 'short', day: 'numeric', month: 'short', timeZone });
  return day(at) === day(new Date(Date.now() + ahead)) ? time : `${day(at)}, ${time}`;
}

export const number = (count, one, more) => `${count} ${count === 1 ? one : more}`;
