// phone.js - what this phone may do for timers, said honestly, with the switches for it.
import { button, fill, h } from "../dom.js";
import { awake, canWake, setAwake } from "./wake.js";

function screenSwitch() {
  if (!canWake()) return h("p", null, "This browser cannot keep the screen on: set the phone's own screen time-out long.");
  const box = h("input", { type: "checkbox", checked: awake(), change: () => void setAwake(box.checked).then((on) => (box.checked = on)) });
  return h("label", { class: "tick" }, box, "Keep the screen on while this page is in view");
}

/** @param {HTMLElement} place */
function notices(place) {
  if (typeof Notification === "undefined" || !isSecureContext) return fill(place, "Notices: not on this browser or not without HTTPS.");
  if (Notification.permission === "granted") return fill(place, "Notices are allowed: a timer that ends shows one.");
  if (Notification.permission === "denied") return fill(place, "Notices are refused in the browser's settings.");
  return fill(place, button("Allow notices", () => void Notification.requestPermission().then(() => notices(place))));
}

export function phoneCard() {
  const place = h("div");
  notices(place);
  return h("details", { class: "wall-more" }, h("summary", null, "Timers on this phone"),
    h("div", { class: "stack" }, screenSwitch(), place,
      h("p", null, "A timer keeps its end time whatever happens to the page. While one goes, a sound too quiet to hear plays so that most phones let it ring when locked; keep the volume up and the page open. "
        + "A phone that saves battery, a call or closing the page can stop the ring: then the page tells at once when you come back, with how long ago it ended. The screen kept on is the sure way.")));
}
