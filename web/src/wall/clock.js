/** Differences of clocks as words. */

const two = (/** @type {number} */ n) => String(n).padStart(2, "0");

/** 95 -> "1:35", 4000 -> "1:06:40" @param {number} seconds */
export function countdown(seconds) {
  const s = Math.max(0, Math.ceil(seconds));
  const h = Math.floor(s / 3600), m = Math.floor(s / 60) % 60;
  return h ? `${h}:${two(m)}:${two(s % 60)}` : `${m}:${two(s % 60)}`;
}

/** "2 min 30 s", "20 min", "4 h" @param {number} seconds */
export function span(seconds) {
  const s = Math.round(seconds);
  if (s < 60) return `${s} s`;
  const h = Math.floor(s / 3600), m = Math.floor(s / 60) % 60, rest = s % 60;
  if (h) return m ? `${h} h ${m} min` : `${h} h`;
  return rest ? `${m} min ${rest} s` : `${m} min`;
}

/** "just now", "5 min ago", "3 h ago", "2 days ago" @param {number} from @param {number} [to] */
export function ago(from, to = Date.now()) {
  const s = Math.max(0, (to - from) / 1000);
  if (s < 60) return s < 5 ? "just now" : `${Math.floor(s)} s ago`;
  if (s < 3600) return `${Math.floor(s / 60)} min ago`;
  if (s < 48 * 3600) return `${Math.floor(s / 3600)} h ago`;
  return `${Math.floor(s / 86400)} days ago`;
}

/** "09:30", or with the day when it is not today @param {number|string} at */
export function when(at) {
  const d = new Date(at);
  const time = `${two(d.getHours())}:${two(d.getMinutes())}`;
  const sameDay = d.toDateString() === new Date().toDateString();
  return sameDay ? time : `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())} ${time}`;
}
