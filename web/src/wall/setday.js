// setday.js - the estimator puts down which leaks are of a day, in order. An empty list takes it away: then a day is all that is left to do.
import { may } from "../api.js";
import { button, field, fill, h, icon } from "../dom.js";
import { fetchDay } from "./day.js";
import { today } from "./db.js";

/** @typedef {import("./wall.js").View} View */
/** @typedef {{mark: string, words: string}} Line */

/** All leaks of the job as surveyed, and those that a day has now. @param {View} view @param {string} date */
async function load(view, date) {
  const { api, job, signal } = view.ctx;
  const [{ survey }, day] = await Promise.all([api.get(api.at(job, "survey"), signal), api.get(`${api.at(job, "day")}?date=${date}`, signal)]);
  const words = new Map(day.leaks.map((/** @type {import("./types.js").Leak} */ l) => [l.mark, [l.place || l.face_name, l.method].filter(Boolean).join("; ")]));
  /** @type {Line[]} */
  const all = survey.defects.map((/** @type {{mark: string, kind: string}} */ d) => ({ mark: d.mark, words: words.get(d.mark) ?? d.kind.replace("_", " ") }));
  return { all, chosen: day.leaks.map((/** @type {import("./types.js").Leak} */ l) => l.mark) };
}

/** @param {Line} line @param {...(HTMLElement|null)} doing */
const row = (line, ...doing) => h("li", { class: "wall-set-row" }, h("strong", { class: "wall-mark" }, line.mark), h("span", null, line.words), h("span", { class: "wall-set-do" }, doing));

/** @param {string} words @param {string} mark @param {() => void} click @param {boolean} [off] */
const act = (words, mark, click, off) => button(words, click, { "aria-label": `${words}: ${mark}`, "data-key": `${words} ${mark}`, disabled: off });

/** @param {HTMLElement} root @param {View} view */
export async function setView(root, view) {
  const { ctx } = view, back = h("a", { class: "button bare", href: view.to() }, icon("back"), "Today's leaks");
  if (!may(ctx.session.role, "estimator")) {
    fill(root, back, h("h1", null, "A day's leaks"), h("p", { class: "note ask" }, "The estimator puts down the leaks of a day."));
    return {};
  }
  const date = h("input", { type: "date", required: true, value: today(), change: () => void read().catch(ctx.fail) });
  const on = h("ol", { class: "wall-list" }), off = h("ul", { class: "wall-list" }), said = h("p", { class: "muted", role: "status" });
  /** @type {Line[]} */
  let all = [];
  /** @type {string[]} */
  let chosen = [];

  async function read() {
    if (date.value) ({ all, chosen } = await load(view, date.value));
    draw();
  }
  /** @param {string[]} next @param {string} [key] the button that keeps the focus */
  function change(next, key) {
    chosen = next;
    draw();
    const kept = [...root.querySelectorAll("[data-key]")].find((e) => e instanceof HTMLButtonElement && e.dataset.key === key && !e.disabled);
    if (kept instanceof HTMLElement) kept.focus();
  }
  /** @param {number} i @param {number} by */
  function move(i, by) {
    const next = [...chosen], [mark] = next.splice(i, 1);
    next.splice(i + by, 0, mark);
    change(next, `${by < 0 ? "Up" : "Down"} ${mark}`);
  }
  function draw() {
    const lines = new Map(all.map((l) => [l.mark, l])), last = chosen.length - 1;
    fill(on, chosen.map((mark, i) => row(lines.get(mark) ?? { mark, words: "" }, act("Up", mark, () => move(i, -1), i === 0), act("Down", mark, () => move(i, 1), i === last),
      act("Remove", mark, () => change(chosen.filter((m) => m !== mark))))));
    fill(off, all.filter((l) => !chosen.includes(l.mark)).map((l) => row(l, act("Add", l.mark, () => change([...chosen, l.mark])))));
    said.textContent = chosen.length ? `${chosen.length} of ${all.length} leaks` : "No list: the day is all that is left to do.";
  }
  async function save() {
    await ctx.api.put(ctx.api.at(ctx.job, "day"), { date: date.value, marks: chosen });
    ctx.say(`The leaks of ${date.value} are put down.`);
    await fetchDay(ctx.job, ctx.signal);
    ctx.go(view.to());
  }
  await read();
  fill(root, back, h("h1", null, "A day's leaks"), field("Date", date), said, h("h2", null, "On this day, in order"), on,
    button("Remove all", () => change([])), h("h2", null, "Not on this day"), off,
    h("div", { class: "wall-thumb" }, h("a", { class: "button wall-side", href: view.to() }, icon("close"), "Leave"), button("Put down", () => void save().catch(ctx.fail), { class: "button main wall-main", sign: "yes" })));
  return {};
}
