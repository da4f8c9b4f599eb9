// bars.js - the picture of the works: a row a leak or a row a person; and what else both screens of the works use.
import { h } from "../dom.js";
import { table } from "../table.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {{form: "leaks"|"people", day?: number, revision?: number, alt: string}} Shown */

/** @param {Ctx} ctx @param {Shown} shown */
function address(ctx, { form, day, revision }) {
  const query = [`form=${form}`, day && `day=${day}`, revision && `v=${revision}`].filter(Boolean).join("&");
  return `${ctx.api.at(ctx.job, "works.svg")}?${query}`;
}

/** A picture in a frame that scrolls; its size is changed by a button. @param {Ctx} ctx @param {Shown} shown */
export function bars(ctx, shown) {
  const picture = h("img", { class: "bars-image", src: address(ctx, shown), alt: shown.alt });
  const frame = h("div", { class: "bars-frame", tabindex: "0", role: "region", "aria-label": "The works as bars" }, picture);
  const larger = h("button", { type: "button", class: "button", "aria-pressed": "false" }, "Larger");
  larger.addEventListener("click", () => {
    const on = frame.classList.toggle("larger");
    larger.setAttribute("aria-pressed", String(on));
  });
  const alone = h("a", { class: "button bare", href: address(ctx, shown), target: "_blank", rel: "noopener" }, "Open by itself");
  return { frame, larger, alone, change: (/** @type {Shown} */ to) => {
    picture.src = address(ctx, to);
    picture.alt = to.alt;
    /** @type {HTMLAnchorElement} */ (alone).href = address(ctx, to);
  } };
}

/** A table whose rows are lines on a phone: the first cell beside the others, without headings. @type {typeof table} */
export function lines(...words) {
  const t = table(...words);
  t.classList.add("lines");
  return t;
}

/** One of some ways to look, as buttons of which one is pressed. @param {string} name @param {[string, string][]} ways @param {string} first @param {(way: string) => void} choose */
export function choice(name, ways, first, choose) {
  const buttons = ways.map(([way, words]) => h("button", { type: "button", class: "button", "aria-pressed": String(way === first), "data-way": way }, words));
  for (const b of buttons) b.addEventListener("click", () => {
    for (const other of buttons) other.setAttribute("aria-pressed", String(other === b));
    choose(b.dataset.way ?? first);
  });
  return h("div", { class: "choice", role: "group", "aria-label": name }, buttons);
}
