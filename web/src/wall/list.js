// list.js - today's leaks in order.
import { may } from "../api.js";
import { fill, h, icon } from "../dom.js";
import { progress, stateWords } from "./progress.js";
import { phoneCard } from "./phone.js";

/** @typedef {import("./wall.js").View} View */
/** @typedef {import("./types.js").Leak} Leak */

const signs = /** @type {const} */ ({ stop: "stop", none: "plan", going: "play", done: "yes" });

/** @param {View} view @param {Leak} leak */
function row(view, leak) {
  const p = progress(leak, view.records);
  const asks = leak.asks.length ? h("span", { class: "wall-row-asks" }, icon("ask"), leak.asks.length === 1 ? "1 open question" : `${leak.asks.length} open questions`) : null;
  return h("li", null, h("a", { class: `wall-row ${p.state}`, href: view.to(leak.mark) },
    h("strong", { class: "wall-mark" }, leak.mark),
    h("span", { class: "wall-row-words" },
      h("span", { class: "wall-row-place" }, leak.place || leak.face_name || leak.face),
      h("span", { class: "muted" }, [leak.seen, leak.method].filter(Boolean).join("; ")),
      h("span", { class: `wall-state ${p.state}` }, icon(signs[p.state]), stateWords(leak, p)),
      p.state === "stop" ? h("span", null, leak.stop) : asks),
    icon("next")));
}

/** @param {HTMLElement} root @param {View} first */
export function listView(root, first) {
  const list = h("ol", { class: "wall-list" }), count = h("p", { class: "muted" }), cautions = h("div");
  const draw = (/** @type {View} */ view) => {
    const states = view.day.leaks.map((l) => progress(l, view.records).state);
    const done = states.filter((s) => s === "done").length;
    count.textContent = view.day.leaks.length ? `${view.day.name}, ${view.day.date}: ${done} of ${view.day.leaks.length} done` : `${view.day.name}, ${view.day.date}`;
    fill(list, view.day.leaks.map((l) => row(view, l)));
    fill(cautions, view.day.leaks.length ? null : h("p", { class: "note" }, "Nothing is left to do in this list."),
      view.day.cautions.length ? h("details", { class: "wall-more" }, h("summary", null, "Cautions of the job"), h("ul", null, view.day.cautions.map((c) => h("li", null, c)))) : null);
  };
  draw(first);
  fill(root, h("h1", null, "Today's leaks"), count, list, cautions,
    h("div", { class: "wall-do" },
      first.writes ? h("a", { class: "button", href: first.to("", "show=record") }, icon("plus"), "Record for the site") : null,
      may(first.ctx.session.role, "estimator") ? h("a", { class: "button", href: first.to("", "show=set") }, icon("plan"), "Put down a day") : null,
      h("a", { class: "button", href: first.to("", "show=records") }, icon("log"), "Records"),
      h("a", { class: "button", href: `#/job/${encodeURIComponent(first.ctx.job)}/works/day/${first.day.date}` }, icon("works"), "The crew's day"),
      h("a", { class: "button", href: `#/job/${encodeURIComponent(first.ctx.job)}/proof` }, icon("yes"), "Proof")),
    phoneCard());
  return { refresh: draw };
}
