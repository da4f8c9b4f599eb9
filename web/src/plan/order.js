// order.js - the order of plugging, played step by step: the slot as it is after n steps, and what each step meets.
import { button, fill, h, icon } from "../dom.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Leak} Leak */
/** @typedef {import("./types.js").Plane} Plane */
/** @typedef {import("./types.js").Step} Step */

const beat_ms = 1200;

/** @param {Step} s @param {number} n @param {number} all */
function words(s, n, all) {
  return `Step ${n} of ${all}: close ${s.from} to ${s.to} of ${s.mark}${s.relief ? ", the relief piece" : ""}. It meets ${s.met}; ${s.total} in all still comes; behind the plug ${s.behind}; the fresh plug bears ${s.fresh}.`;
}

/** @param {Step[]} steps @param {(n: number) => void} to */
function stepTable(steps, to) {
  const rows = steps.map((s, i) => h("tr", null, h("th", { scope: "row", class: "n" }, h("button", { type: "button", class: "nth", "aria-label": `Show step ${i + 1}`, click: () => to(i + 1) }, String(i + 1))),
    h("td", null, s.mark), h("td", { class: "n" }, s.from), h("td", { class: "n" }, s.to), h("td", { class: "n" }, s.met), h("td", { class: "n" }, s.total), h("td", { class: "n" }, s.behind), h("td", { class: "n" }, s.fresh), h("td", null, s.relief ? "relief piece" : "")));
  const table = h("div", { class: "frame short", tabindex: "0", role: "region", "aria-label": "Steps of the order" }, h("table", null, h("caption", { class: "unseen" }, "Steps of the order of plugging"),
    h("thead", null, h("tr", null, ["Step", "Leak", "From", "To", "Meets", "In all", "Behind", "Fresh plug bears", "Note"].map((t, i) => h("th", { scope: "col", class: i > 1 && i < 8 || !i ? "n" : null }, t)))), h("tbody", null, rows)));
  return { table, rows };
}

/** @param {Ctx} ctx @param {Leak} leak @param {Plane} plane */
export function orderPlayer(ctx, leak, plane) {
  const all = plane.steps.length;
  const address = (/** @type {number} */ n) => ctx.api.at(ctx.job, "leaks", leak.mark, "order", `${n}.svg`);
  let at = 0;
  /** @type {ReturnType<typeof setInterval>|undefined} */
  let timer;
  const picture = h("img", { class: "figure-image order-image", alt: "", src: address(0) });
  const slider = h("input", { type: "range", min: 0, max: all, step: 1, value: 0, "aria-label": "Steps closed" });
  const said = h("p", { class: "said", role: "status" });
  const play = button("Play", () => (timer ? stop() : start()), { sign: "play", class: "button main" });
  const { table, rows } = stepTable(plane.steps, (n) => { stop(); to(n); });

  const stop = () => {
    clearInterval(timer);
    timer = undefined;
    fill(play, icon("play"), h("span", null, "Play"));
  };
  const start = () => {
    if (at === all) to(0);
    timer = setInterval(() => (at < all ? to(at + 1) : stop()), beat_ms);
    fill(play, icon("pause"), h("span", null, "Pause"));
  };
  /** @param {number} n */
  const to = (n) => {
    at = Math.max(0, Math.min(all, n));
    slider.value = String(at);
    const text = at ? words(plane.steps[at - 1], at, all) : `Nothing is closed yet. The picture says what leaves the slot once it is cut; uncut it was ${plane.uncut}.`;
    slider.setAttribute("aria-valuetext", at ? `step ${at} of ${all}` : "nothing closed");
    said.textContent = text;
    picture.alt = `The slot with ${at} of ${all} pieces closed`;
    picture.src = address(at);
    if (at < all) new Image().src = address(at + 1);
    rows.forEach((r, i) => {
      if (i === at - 1) r.setAttribute("aria-current", "step");
      else r.removeAttribute("aria-current");
    });
  };
  slider.addEventListener("input", () => { stop(); to(Number(slider.value)); });
  ctx.signal.addEventListener("abort", stop);
  to(0);
  const close = h("a", { href: address(0), target: "_blank", rel: "noopener" }, "Open the figure by itself");
  return h("div", { class: "stack player" }, h("div", { class: "order-frame", tabindex: "0", role: "region", "aria-label": "The slot" }, picture), slider,
    h("div", { class: "row" }, play, button("Back", () => { stop(); to(at - 1); }, { sign: "back" }), button("Next", () => { stop(); to(at + 1); }, { sign: "next" })), said, h("p", null, close), table);
}

/** @param {Plane} plane */
export function orderTable(plane) {
  return h("div", { class: "frame", tabindex: "0", role: "region", "aria-label": "Orders compared" }, h("table", null, h("caption", { class: "unseen" }, "Orders of plugging compared"),
    h("thead", null, h("tr", null, ["Order", "Peak", "Met in all", "Steps over the wash-out limit", "Note"].map((t, i) => h("th", { scope: "col", class: i && i < 4 ? "n" : null }, t)))),
    h("tbody", null, plane.orders.map((o) => h("tr", null, h("th", { scope: "row" }, o.name), h("td", { class: "n" }, o.peak), h("td", { class: "n" }, o.met), h("td", { class: "n" }, String(o.over)),
      h("td", null, o.best && plane.search && h("span", { class: "tag ok" }, icon("yes"), "best"), " ", o.drawn && h("span", { class: "tag" }, "drawn")))))));
}
