// built.js - the job as built, by its records, against the plan: what differs and why, each leak, materials, photos, what would be
// billed, and what nobody recorded. The quantities are the server's.
import { append, fill, h, icon } from "../dom.js";
import { Fault, may } from "../api.js";
import { count, hours, money } from "../format.js";
import { notPlanned, staleNote, takeUp } from "../plan/head.js";
import { row, table } from "../table.js";
import { isUntold, leakCard, photos, placeOf, wasRecorded } from "./leaks.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Built} Built */

const day = new Intl.DateTimeFormat("en-GB", { dateStyle: "medium", timeZone: "UTC" });
const dated = (/** @type {string} */ on) => day.format(new Date(`${on}T00:00:00Z`));

/** @param {string} label @param {string} value */
const fact = (label, value) => (value ? h("div", null, h("dt", null, label), h("dd", null, value)) : null);

/** @param {string} id @param {string} title @param {...(import("../dom.js").Child|import("../dom.js").Child[])} children */
const section = (id, title, ...children) => h("section", { class: "stack tight", "aria-labelledby": id }, h("h2", { id }, title), ...children);

/** @param {Ctx} ctx @param {Built} b */
function head(ctx, b) {
  const span = b.first && b.last ? (b.first === b.last ? dated(b.first) : `${dated(b.first)} to ${dated(b.last)}`) : "nothing recorded yet";
  return [h("div", { class: "row apart" }, h("h1", null, "As built"), h("a", { class: "button", href: `#/job/${encodeURIComponent(ctx.job)}/proof` }, icon("yes"), "Proof")),
    staleNote(ctx, b.current, () => ctx.go(location.hash)),
    h("dl", { class: "facts" }, fact("Work", span), fact("People", b.people.join(", ")), b.weather.map((w) => fact(w.label, w.value)),
      fact("Differs from the plan", b.deviations ? `${count(b.deviations, "thing", "things")}${b.unreasoned ? `, ${b.unreasoned} without a reason` : ""}` : "nothing"))];
}

/** @param {Ctx} ctx @param {Built} b */
function differences(ctx, b) {
  const list = b.leaks.flatMap((l) => l.lines.filter((x) => x.deviates));
  if (!list.length) return null;
  const heads = ["Leak", "What", "#Planned", "#As built", "Why"], job = encodeURIComponent(ctx.job);
  const give = (/** @type {typeof list[number]} */ x) => {
    const mark = x.mark === "site" ? "" : `/${encodeURIComponent(x.mark)}`;
    return may(ctx.session.role, "foreman") ? h("a", { href: `#/job/${job}/wall${mark}?show=record&kind=deviation${x.step ? `&step=${encodeURIComponent(x.step)}` : ""}` }, "no reason given: give it", h("span", { class: "unseen" }, `, ${placeOf(x.mark)}, ${x.label}`)) : h("span", { class: "muted" }, "no reason given");
  };
  return section("differs", "What differs, and why", table("What differs from the plan", heads, list.map((x) => row(heads, [placeOf(x.mark), x.label, x.planned || "none", x.actual || "not recorded", x.reason ?? give(x)]))));
}

/** @param {Built} b */
function untold(b) {
  const leaks = b.leaks.filter((l) => l.mark !== "site" && !wasRecorded(b, l)).map((l) => l.mark);
  const steps = b.leaks.filter((l) => wasRecorded(b, l)).map((l) => ({ mark: l.mark, titles: l.steps.filter((s) => s.planned && isUntold(s)).map((s) => s.title) })).filter((l) => l.titles.length);
  const bills = b.bills.filter((x) => x.quantity === null).map((x) => x.label);
  const said = [leaks.length > 0 && `Nothing at ${leaks.join(", ")}.`, !b.weather.length && "No weather.", !b.photos.length && "No photo.", bills.length > 0 && `Not billed, since it was not recorded: ${bills.join("; ")}.`].filter(Boolean);
  if (!said.length && !steps.length) return null;
  return section("untold", "What was not recorded", h("ul", { class: "plain" }, said.map((s) => h("li", null, s))),
    steps.length > 0 && h("details", null, h("summary", null, `Steps of ${count(steps.length, "leak", "leaks")}`), h("ul", { class: "plain" }, steps.map((l) => h("li", null, h("strong", null, l.mark), ` ${l.titles.join("; ")}`)))));
}

/** @param {Built} b */
function totals(b) {
  const heads = ["What", "#Planned", "#As built"], stuff = ["Material", "#Planned", "#Used", "#Packs", "#Without waste"];
  return [section("totals", "In all", b.totals.length ? table("Totals", heads, b.totals.map((x) => row(heads, [x.label, x.planned || "none", x.actual || "not recorded"]))) : h("p", { class: "muted" }, "Nothing is planned or recorded.")),
    b.materials.length > 0 && section("materials", "Materials", table("Materials", stuff, b.materials.map((m) => row(stuff, [m.name, m.planned, m.used, m.packs, m.net]))),
      h("p", { class: "muted" }, "Without waste: what the volumes as recorded would take."))];
}

/** @param {Built} b */
function bills(b) {
  if (!b.bills.length) return null;
  const heads = ["What", "#Quantity", "Unit", "#Offered", "#Rate", `#Amount, ${b.currency}`, "Basis"], n = (/** @type {number|null} */ x) => (x === null ? "" : hours(x));
  const sum = (/** @type {string} */ label, /** @type {number} */ value) => h("tr", { role: "row" }, h("th", { scope: "row", role: "rowheader" }, label), h("td", { role: "cell", class: "empty", colspan: 4 }), h("td", { role: "cell", class: "n" }, money(value)), h("td", { role: "cell", class: "empty" }));
  return section("bills", "What would be billed", h("p", { class: "muted" }, "Quantities as recorded, at the rates of the offer. Without tax."),
    table("What would be billed", heads, b.bills.map((x) => row(heads, [x.label, n(x.quantity), x.unit, n(x.offered), money(x.rate), x.quantity === null ? "" : money(x.amount), x.basis])),
      { more: [h("tfoot", { role: "rowgroup" }, sum("Sum", b.subtotal), sum("Total with additions", b.total))] }));
}

/** @param {HTMLElement} root @param {Ctx} ctx @param {Built} b */
function screen(root, ctx, b) {
  const box = h("div", { class: "stack loose built" });
  append(box, [...head(ctx, b), differences(ctx, b), section("leaks", "Leak by leak", h("div", { class: "leak-list" }, b.leaks.map((l) => leakCard(ctx, b, l)))), untold(b),
    h("div", { class: "built-columns" }, totals(b)), bills(b), b.photos.length > 0 && section("photos", "Photos", photos(ctx, b.photos))]);
  fill(root, box);
  if (ctx.mark) [...box.querySelectorAll("details[data-mark]")].find((d) => d.getAttribute("data-mark") === ctx.mark)?.scrollIntoView();
}

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title(`As built, ${ctx.job}`);
  try {
    screen(root, ctx, await ctx.api.get(ctx.api.at(ctx.job, "built"), ctx.signal));
  } catch (e) {
    if (!(e instanceof Fault && e.code === 409)) throw e;
    const again = () => ctx.go(location.hash);
    if (await takeUp(ctx, again)) return { close() {} };
    const box = h("div", { class: "stack" });
    notPlanned(box, ctx, "As built", again);
    fill(root, box);
  }
  return { close() {} };
}
