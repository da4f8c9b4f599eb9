// gauge.js - does the crack move: the verdict, each gauge with its plot, the readings, and a form for one more.
import { button, fill, freshId, h, icon } from "../dom.js";
import { count } from "../format.js";
import { may } from "../api.js";
import { planButton } from "./head.js";
import { rowsBehind } from "./rows.js";
import { sentence } from "./why.js";
import { readingForm, readingTable } from "./reading.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Leak} Leak */
/** @typedef {import("./types.js").Gauge} Gauge */
/** @typedef {import("./types.js").Again} Again */
/** @typedef {import("./pending.js").Standing} Standing */
/** What the screen keeps while it is drawn anew: the form in hand, with the gauge and the day of the last reading. @typedef {{open?: boolean, gauge?: string, on?: string}} Kept */

/** @param {Gauge} g */
const nameOf = (g) => (g.gauge ? `Gauge ${g.gauge}` : "Gauge");

/** @param {Gauge} g */
const year = (g) => (g.widest && g.narrowest ? `${g.narrowest} to ${g.widest}${g.year_basis ? ` (${g.year_basis})` : ""}` : "");

/** What the plot shows, for who does not see it. @param {Leak} leak @param {Gauge} g */
function alt(leak, g) {
  return [`Movement of ${leak.mark}${g.gauge ? `, gauge ${g.gauge}` : ""}: ${g.verdict}`, `${count(g.readings, "reading", "readings")} from ${g.first} to ${g.last}`, g.drift && `drift ${g.drift}`,
    g.per_kelvin && `${g.per_kelvin} of the wall's temperature`, year(g) && `coming year ${year(g)}`].filter(Boolean).join("; ");
}

/** @param {number|null} months */
function more(months) {
  if (months === null) return "";
  return months < 1 ? "Less than a month more of readings as now would decide it." : `About ${count(Math.ceil(months), "month", "months")} more of readings as now would decide it.`;
}

/** @param {Ctx} ctx @param {Leak} leak @param {Gauge} g @param {number} n */
function gauge(ctx, leak, g, n) {
  const rows = /** @type {[string, string][]} */ ([["Readings", `${g.readings}, ${g.first} to ${g.last}`], ["Drift, ± at 95 %", g.drift], ["With the wall's temperature, ± at 95 %", g.per_kelvin], ["Expected in the coming year", year(g)], ["Set aside", g.set_aside.join(", ")]]);
  const address = ctx.api.at(ctx.job, "leaks", leak.mark, "movement", `${n}.svg`);
  return h("div", { class: "stack tight gauge" }, h("h4", null, `${nameOf(g)}: ${g.verdict}`), g.rule && !leak.diagnosis.movement.reason.includes(g.rule) && h("p", null, sentence(g.rule)), more(g.months_more) && h("p", null, more(g.months_more)),
    h("dl", { class: "figure-list" }, rows.filter(([, text]) => text).map(([t, text]) => h("div", { class: "figure" }, h("dt", null, t), h("dd", { class: "value" }, h("span", { class: "figures" }, text))))),
    g.warnings.length > 0 && h("ul", { class: "plain small" }, g.warnings.map((w) => h("li", null, w))),
    h("figure", { class: "figure-frame" }, h("img", { class: "figure-image", src: address, alt: alt(leak, g), loading: "lazy" }), h("figcaption", null, h("a", { href: address, target: "_blank", rel: "noopener" }, "Open the plot by itself"))));
}

/** Readings that the plan has not seen. @param {Ctx} ctx @param {Leak} leak @param {Standing|null} now @param {Again} again */
function unseen(ctx, leak, now, again) {
  const planned = leak.diagnosis.movement.gauges.reduce((n, g) => n + g.readings, 0);
  const all = now?.defect.readings?.length ?? planned;
  if (leak.current || all === planned) return null;
  return h("div", { class: "note ask", role: "status" }, icon("weak"), h("p", null, `${count(all, "reading", "readings")} now, ${planned} in this plan. `, h("strong", null, "Plan again to see the verdict.")),
    may(ctx.session.role, "foreman") && planButton(ctx, "Plan again", again));
}

/** @param {Ctx} ctx @param {Leak} leak @param {Standing|null} now @param {Again} again @param {Kept} kept */
function entry(ctx, leak, now, again, kept) {
  if (!may(ctx.session.role, "foreman")) return null;
  const place = h("div", { id: freshId("reading"), hidden: true });
  const show = (/** @type {boolean} */ opening) => {
    place.hidden = !opening;
    open.setAttribute("aria-expanded", String(opening));
    kept.open = opening;
    if (!opening) return void open.focus();
    const { form, first } = readingForm(ctx, leak, now, again, kept, () => show(false));
    fill(place, form);
    if (place.isConnected) first.focus();
    return undefined;
  };
  const open = button("Add a reading", () => show(place.hidden), { sign: "plus", "aria-expanded": "false", "aria-controls": place.id });
  if (kept.open) show(true);
  return h("div", { class: "stack tight" }, h("div", { class: "row" }, open), place);
}

/** @param {Ctx} ctx @param {Leak} leak @param {Standing|null} now the leak as it stands in the survey @param {Again} again @param {Kept} kept */
export function movement(ctx, leak, now, again, kept) {
  const m = leak.diagnosis.movement;
  return h("div", { class: "card stack movement", role: "group", "aria-labelledby": "movement-title" },
    h("div", { class: "stack tight" }, h("h3", { id: "movement-title" }, "Movement"), h("p", { class: "big" }, m.verdict, m.total && `, ${m.total}`, h("span", { class: "muted" }, m.basis === m.verdict ? "" : ` ${m.basis}`)),
      m.reason && h("p", null, sentence(m.reason))),
    m.gauges.map((g, n) => gauge(ctx, leak, g, n)), unseen(ctx, leak, now, again), readingTable(ctx, leak, now, again, kept), rowsBehind("Why", leak.rows), entry(ctx, leak, now, again, kept));
}
