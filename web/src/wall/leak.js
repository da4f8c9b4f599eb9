// leak.js - one leak: its step card, one step big at a time, previous and next under the thumb.
import { button, fill, h, icon } from "../dom.js";
import { setting } from "./db.js";
import { keep } from "./records.js";
import { sync } from "./queue.js";
import { holdBefore, mixStep, progress, stateWords } from "./progress.js";
import { timerBlock } from "./steptimer.js";
import { phoneCard } from "./phone.js";
import { when } from "./clock.js";

/** @typedef {import("./wall.js").View} View */
/** @typedef {import("./types.js").Leak} Leak */
/** @typedef {import("./types.js").Step} Step */

/** The step last looked at, by job and mark, while the page is open. @type {Map<string, number>} */
const places = new Map();

/** @param {View} view @param {Leak} leak */
function head(view, leak) {
  return h("div", { class: "wall-leak" },
    h("a", { class: "button bare", href: view.to() }, icon("back"), "Today's leaks"),
    h("h1", null, h("span", { class: "wall-mark" }, leak.mark), " ", h("span", { class: "wall-h1-place" }, leak.place || leak.face_name)),
    h("p", { class: "muted" }, [leak.seen, leak.method].filter(Boolean).join("; ")));
}

/** @param {View} view @param {Leak} leak */
function doors(view, leak) {
  const links = [];
  if (view.writes) links.push(h("a", { class: "button", href: view.to(leak.mark, "show=record") }, icon("plus"), "Record"));
  if (!leak.stop && leak.mixes.length) links.push(h("a", { class: "button", href: view.to(leak.mark, "show=mix") }, icon("amount"), "Mix"));
  links.push(h("a", { class: "button", href: view.to(leak.mark, "show=records") }, icon("log"), "Records"));
  return h("div", { class: "wall-doors" }, links);
}

/** @param {Step} step @param {Leak} leak */
function mixes(step, leak) {
  return leak.mixes.filter((m) => mixStep(m) === step.code).map((m) => h("dl", { class: "wall-mix" },
    h("div", null, h("dt", null, "Material"), h("dd", null, m.material)),
    h("div", null, h("dt", null, m.batches === 1 ? "1 batch" : `${m.batches} batches of`), h("dd", null, `${m.batch_powder} powder, ${m.batch_water} water`)),
    h("div", null, h("dt", null, "Place within"), h("dd", null, m.usable))));
}

/** A reading is kept by the server at once: it needs a signal. @param {View} view @param {Leak} leak @param {Step} step */
function gaugeDoor(view, leak, step) {
  if (step.code !== "gauge" || !view.writes) return null;
  return h("a", { class: "button", href: `#/job/${encodeURIComponent(view.ctx.job)}/plan/${encodeURIComponent(leak.mark)}?show=reading` }, icon("plus"), "Write a gauge reading (needs a signal)");
}

/** A test is written with the form of tests. @param {View} view @param {Leak} leak @param {Step} step */
function proofDoor(view, leak, step) {
  if (step.code !== "prove" || !view.writes) return null;
  return h("a", { class: "button", href: view.to(leak.mark, "show=record&kind=proof&step=prove") }, icon("plus"), "Write the test: hand, blotting paper, drips");
}

/** The name of who ticks: remembered. @param {View} view @param {string} id */
function nameInput(view, id) {
  const input = h("input", { type: "text", autocomplete: "name", required: true, id, maxlength: 80, value: view.ctx.session.who });
  void setting("by").then((by) => {
    if (by && input.value === view.ctx.session.who) input.value = by;
  });
  return input;
}

/** @param {View} view @param {Leak} leak @param {Step} step @param {() => void} next */
function holdForm(view, leak, step, next) {
  const measured = { scan: "Write the cover found", measure: "Write the water caught" }[step.code];
  const tick = h("input", { type: "checkbox", required: true, id: "hold-tick" });
  const name = nameInput(view, "hold-name");
  const warn = h("p", { class: "wall-warn", role: "alert" });
  const form = h("form", { class: "wall-hold", novalidate: true },
    h("p", { class: "wall-hold-title" }, icon("stop"), "Hold point: a tick and a name before the next step"),
    measured && view.writes ? h("a", { class: "button", href: view.to(leak.mark, `show=record&kind=found&step=${step.code}`) }, icon("plus"), measured) : null,
    h("label", { class: "tick", for: "hold-tick" }, tick, `${step.title}: seen and in order`),
    h("div", { class: "field" }, h("label", { for: "hold-name" }, "Name"), name), warn);
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    const by = name.value.trim();
    warn.textContent = !tick.checked ? "Tick that it is seen and in order." : !by ? "Write the name of who saw it." : "";
    if (warn.textContent) return (tick.checked ? name : tick).focus();
    return void write(view, { mark: leak.mark, what: "hold", step: step.code, by }).then((ok) => ok && next());
  });
  return form;
}

/** @param {View} view @param {{mark: string, what: string, by: string, step?: string}} said */
async function write(view, said) {
  try {
    await keep(view.ctx.job, said);
  } catch (e) {
    view.ctx.fail(e);
    return false;
  }
  view.ctx.say(`Kept on this phone: ${said.mark}, ${said.what === "hold" ? "hold point ticked" : "step done"}.`);
  void sync(view.ctx.job);
  return true;
}

/** @param {HTMLElement} root @param {View} view @param {Leak} leak */
function barred(root, view, leak) {
  fill(root, head(view, leak),
    h("div", { class: "note stop wall-stop", role: "note" }, h("p", null, icon("stop"), h("strong", null, " STOP: no work on this leak. "), leak.stop ?? "")),
    h("p", null, "A named person answers this in the plan; until then there is no step card and no mix. You may still record what you see."),
    doors(view, leak), qr(view, leak));
  return {};
}

/** @param {View} view @param {Leak} leak */
function qr(view, leak) {
  const address = `${view.day.address.replace(/\/$/, "")}/${view.to(leak.mark)}`;
  const place = h("div", { class: "stack" });
  const box = h("details", { class: "wall-more", toggle: () => box.open && load() }, h("summary", null, "QR code of this leak"), place);
  function load() {
    const lost = () => fill(place, h("p", null, "The code comes from the server and needs a signal."), h("p", { class: "wall-address" }, address));
    fill(place, h("img", { class: "wall-qr", alt: `QR code that opens ${leak.mark}`, src: `/api/code?text=${encodeURIComponent(address)}`, error: lost }), h("p", { class: "wall-address" }, address));
  }
  return box;
}

/** @param {Leak} leak @param {View} view */
function more(leak, view) {
  const list = (/** @type {string} */ title, /** @type {string[]} */ items) => items.length ? h("details", { class: "wall-more" }, h("summary", null, title), h("ul", null, items.map((s) => h("li", null, s)))) : null;
  const stations = leak.stations.length ? h("details", { class: "wall-more" }, h("summary", null, "Stations: cover and bars"),
    h("table", null, h("thead", null, h("tr", null, ["At", "Cover", "Bar"].map((t) => h("th", { scope: "col" }, t)))),
      h("tbody", null, leak.stations.map((s) => h("tr", null, h("td", null, s.at), h("td", null, s.cover ?? "not scanned"), h("td", null, s.bar ?? "")))))) : null;
  return [list("Open questions", leak.asks), list("Cautions", leak.card.cautions), stations, qr(view, leak), phoneCard()];
}

/** @param {HTMLElement} root @param {View} first */
export function leakView(root, first) {
  const leak = /** @type {Leak} */ (first.leak);
  if (leak.stop) return barred(root, first, leak);
  const key = `${first.ctx.job}/${leak.mark}`;
  const card = h("section", { class: "wall-step", "aria-labelledby": "step-title" }), thumb = h("div", { class: "wall-thumb" });
  const state = h("p", { class: "wall-state" }), ownTimer = h("div");
  let view = first, drawn = "";
  /** @type {(() => void)[]} */
  let closing = [];
  let at = 0;

  /** Until somebody moves, the step that is next: records of other phones may still be coming. */
  function follow() {
    if (card.contains(document.activeElement)) return;
    at = places.get(key) ?? Math.min(progress(leak, view.records).next, Math.max(0, leak.card.steps.length - 1));
  }

  /** @param {number} to @param {boolean} [focus] */
  function move(to, focus = true) {
    at = to;
    places.set(key, at);
    draw();
    if (focus) document.getElementById("step-title")?.focus();
    scrollTo(0, 0);
  }
  function next() {
    const p = progress(leak, view.records), hold = holdBefore(leak, p, at + 1);
    if (hold >= 0) return view.ctx.say(`Hold point: ${leak.card.steps[hold].title}. A tick and a name come before the next step.`);
    if (at + 1 < leak.card.steps.length) move(at + 1);
  }
  async function finished() {
    const here = at, by = (await setting("by")) || view.ctx.session.who;
    if (await write(view, { mark: leak.mark, what: "finish", step: leak.card.steps[here].code, by })) forward(here);
  }
  /** To the next step once it may be gone to: the record is on the phone, the view may not know it yet. */
  function forward(/** @type {number} */ from) {
    if (from + 1 < leak.card.steps.length) move(from + 1);
    else draw();
  }
  function draw() {
    const p = progress(leak, view.records), step = leak.card.steps[at];
    state.className = `wall-state ${p.state}`;
    fill(state, icon(p.state === "done" ? "yes" : p.state === "going" ? "play" : "plan"), stateWords(leak, p));
    const now = JSON.stringify([at, p.done.get(step?.code ?? "")?.id, p.next]);
    if (now === drawn || !step) return;
    drawn = now;
    closing.forEach((f) => f());
    closing = [];
    const done = p.done.get(step.code);
    const timers = timerBlock(view, leak, step);
    closing.push(timers.close);
    const here = at, form = step.hold && !done && view.writes ? holdForm(view, leak, step, () => forward(here)) : null;
    fill(card,
      h("p", { class: "wall-count" }, `Step ${at + 1} of ${leak.card.steps.length}`, step.hold ? h("span", { class: "tag ask" }, icon("stop"), "Hold point") : null),
      h("h2", { id: "step-title", tabindex: -1 }, step.title),
      done ? h("p", { class: "wall-state done" }, icon("yes"), `${done.what === "hold" ? "Ticked" : "Done"}${done.by ? " by " + done.by : ""}, ${when(done.at)}`) : null,
      h("p", { class: "wall-body-text" }, step.body), mixes(step, leak), gaugeDoor(view, leak, step), proofDoor(view, leak, step), timers.element, form);
    fill(ownTimer, timers.own);
    fill(thumb,
      button("Previous", () => move(at - 1), { class: "button wall-side", sign: "back", disabled: at === 0 }),
      middle(step, !!done, form),
      button("Next", next, { class: "button wall-side", sign: "next", disabled: at + 1 >= leak.card.steps.length }));
  }
  /** @param {Step} step @param {boolean} done @param {HTMLFormElement|null} form */
  function middle(step, done, form) {
    if (done || !view.writes) return h("span", { class: "wall-thumb-said" }, done ? "Done" : "To look at only");
    if (form) return button("Tick and go on", () => form.requestSubmit(), { class: "button main wall-main" });
    return button("Step done", () => void finished(), { class: "button main wall-main", sign: "yes" });
  }
  follow();
  draw();
  fill(root, head(first, leak), state, card, doors(first, leak), ownTimer, more(leak, first), thumb);
  return {
    refresh(/** @type {View} */ v) {
      view = v;
      follow();
      draw();
    },
    close: () => closing.forEach((f) => f()),
  };
}
