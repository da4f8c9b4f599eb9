// due.js - when the repairs are looked at again.
import { h, icon } from "../dom.js";
import { count } from "../format.js";
import { row, table } from "../table.js";
import { dated, section, tag } from "./words.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Revisit} Revisit */

/** Looks of one kind, day and state stand in one row. @param {Revisit[]} list */
function gathered(list) {
  /** @type {Map<string, Revisit[]>} */
  const by = new Map();
  for (const v of list) by.set([v.state, v.on, v.what].join(), [...(by.get([v.state, v.on, v.what].join()) ?? []), v]);
  return [...by.values()];
}

const rank = { overdue: 0, due: 1, waiting: 2, done: 3 };

/** @param {Ctx} ctx @param {Revisit[]} all */
export function dueSection(ctx, all) {
  const open = all.filter((v) => v.state !== "done"), done = all.filter((v) => v.state === "done");
  const heads = ["Look", "State", "On", "Leaks"], doneHeads = ["Leak", "Look", "On", "Found"];
  const calendar = open.some((v) => v.on) && h("a", { class: "button", href: ctx.api.at(ctx.job, "revisits.ics"), download: `${ctx.job}-looks.ics` }, icon("file"), "Calendar for a phone");
  const rows = gathered([...open].sort((a, b) => rank[a.state] - rank[b.state])).map((g) => row(heads, [g[0].what, tag(g[0].state), g[0].on ? dated(g[0].on) : "not known yet", g.map((v) => v.mark).join(", ")]));
  const found = (/** @type {Revisit} */ v) => (v.dry === null ? "proves nothing" : v.dry ? "dry" : "not dry");
  return section("due", "Looks at the repairs", h("p", { class: "muted" }, "24 hours, 7 days and 28 days after the first proof, and after the next high water."),
    rows.length ? table("Looks that are not done", heads, rows) : h("p", null, all.length ? "None is open." : "None is due: nothing has been proved yet."),
    done.length > 0 && h("details", null, h("summary", null, `${count(done.length, "look", "looks")} done`), table("Looks that are done", doneHeads, done.map((v) => row(doneHeads, [v.mark, v.what, dated(v.on), found(v)])))),
    calendar && h("div", { class: "row" }, calendar));
}
