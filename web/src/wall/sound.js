/**
 * Sound as bytes made here. A phone stops scripts of a locked screen, but not sound that plays: so while a timer goes,
 * a track plays that is next to silent until the end of the timer and rings then. The ring is in the track itself; it
 * comes even when the script sleeps.
 */

const RATE = 4000; // samples a second, 16 bit, one channel
const RING_S = 60;
/** The longest track made; a timer that ends later gets the next track in time. 8 kB a second. */
export const TRACK_S = 1800;

/** Not quite nothing: sound of zeros counts as none and is stopped. */
function quietSecond() {
  const s = new Int16Array(RATE);
  for (let i = 0; i < RATE; i++) s[i] = i % 40 < 20 ? 6 : -6;
  return s;
}

/** Three short tones and a rest, twice in two seconds: told from a ring tone and heard beside a saw. */
function ringSecond() {
  const s = new Int16Array(RATE);
  for (let i = 0; i < RATE; i++) {
    const t = i / RATE;
    const on = t < 0.66 && t % 0.22 < 0.15;
    s[i] = on ? 26000 * Math.sign(Math.sin(2 * Math.PI * 988 * t)) : i % 40 < 20 ? 6 : -6;
  }
  return s;
}

/** @param {number} samples */
function head(samples) {
  const h = new DataView(new ArrayBuffer(44));
  const word = (/** @type {number} */ at, /** @type {string} */ text) => [...text].forEach((c, i) => h.setUint8(at + i, c.charCodeAt(0)));
  word(0, "RIFF");
  h.setUint32(4, 36 + samples * 2, true);
  word(8, "WAVEfmt ");
  h.setUint32(16, 16, true);
  h.setUint16(20, 1, true);
  h.setUint16(22, 1, true);
  h.setUint32(24, RATE, true);
  h.setUint32(28, RATE * 2, true);
  h.setUint16(32, 2, true);
  h.setUint16(34, 16, true);
  word(36, "data");
  h.setUint32(40, samples * 2, true);
  return h.buffer;
}

/** Quiet for some seconds, then a minute of ringing. @param {number} seconds @param {boolean} rings */
function track(seconds, rings) {
  const whole = Math.floor(seconds), rest = Math.round((seconds - whole) * RATE);
  const quiet = quietSecond(), ring = ringSecond();
  const ringing = rings ? RING_S : 0;
  const parts = [head(whole * RATE + rest + ringing * RATE), ...Array(whole).fill(quiet.buffer), quiet.buffer.slice(0, rest * 2), ...Array(ringing).fill(ring.buffer)];
  return new Blob(parts, { type: "audio/wav" });
}

/** @type {HTMLAudioElement | null} */
let player = null;
/** What plays: the end it is made for; 0 a ring at once; null nothing. @type {number | null} */
let plays = null;
let address = "";

/** @param {Blob} blob @param {boolean} loop @returns {Promise<boolean>} false: the browser wants a touch first */
async function play(blob, loop) {
  if (!player) {
    player = document.createElement("audio");
    player.id = "wall-sound";
    document.body.appendChild(player);
  }
  if (address) URL.revokeObjectURL(address);
  address = URL.createObjectURL(blob);
  player.src = address;
  player.loop = loop;
  try {
    await player.play();
    return true;
  } catch (e) {
    if (!(e instanceof DOMException && e.name === "AbortError")) plays = null;
    return e instanceof DOMException && e.name === "AbortError";
  }
}

/** The track for the timer that ends next. @param {number} ends @param {string} title shown on a locked screen */
export function untilEnd(ends, title) {
  const left = (ends - Date.now()) / 1000;
  const far = left > TRACK_S;
  const key = far ? -1 : ends;
  if (plays === key) return Promise.resolve(true);
  plays = key;
  if ("mediaSession" in navigator) navigator.mediaSession.metadata = new MediaMetadata({ title, artist: "stanch" });
  return far ? play(track(60, false), true) : play(track(Math.max(0, left), true), false);
}

/** Ring now, until `hush`. */
export function ring() {
  if (plays === 0) return Promise.resolve(!player?.paused);
  plays = 0;
  return play(track(0, true), true);
}

export function hush() {
  if (plays === null && player?.paused !== false) return;
  plays = null;
  player?.pause();
}
