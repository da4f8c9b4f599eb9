/** News within the page and, where the browser can, to the other tabs: "records", "sending", "timers", "day". */

/** @type {Set<(what: string) => void>} */
const ears = new Set();
const others = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("stanch-wall");
if (others) others.onmessage = (e) => ears.forEach((ear) => ear(e.data));

/** @param {string} what */
export function tell(what) {
  ears.forEach((ear) => ear(what));
  others?.postMessage(what);
}

/** @param {(what: string) => void} ear @returns {() => void} stop listening */
export function listen(ear) {
  ears.add(ear);
  return () => ears.delete(ear);
}
