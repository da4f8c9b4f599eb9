/** Keeps the screen on while the switch is on and the page is in view. */

/** @type {any} */
let lock = null;
let wanted = false;

export const canWake = () => "wakeLock" in navigator;
export const awake = () => wanted;

async function take() {
  if (!wanted || lock || document.visibilityState !== "visible") return;
  lock = await /** @type {any} */ (navigator).wakeLock.request("screen");
  lock.addEventListener("release", () => {
    lock = null;
  });
}

/** @param {boolean} on @returns {Promise<boolean>} whether it is so now */
export async function setAwake(on) {
  wanted = on;
  try {
    if (on) await take();
    else await lock?.release();
  } catch {
    wanted = false; // a battery saver may refuse
  }
  return wanted;
}

document.addEventListener("visibilitychange", () => void take().catch(() => {}));
