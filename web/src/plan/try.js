// try.js - change an input of one leak and see what it would do: nothing is kept until "Keep".
import { button, field, fill, h, icon, settled } from "../dom.js";
import { Fault, may } from "../api.js";
import { readNumber } from "../draw/number.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Leak} Leak */

const wetness = ["dry", "damp", "seep", "drip", "run", "jet"];
const wait_ms = 40;

/** What stands under a name, of both rows of figures. @param {Leak} leak */
function figures(leak) {
  /** @type {Map<string, {group: string, label: string, value: string}>} */
  const by = new Map();
  const put = (/** @type {string} */ group, /** @type {string} */ label, /** @type {string} */ value) => {
    let key = `${group}/${label}`;
    for (let n = 2; by.has(key); n++) key = `${group}/${label}/${n}`;
    by.set(key, { group, label, value });
  };
  put("Method", "Method", leak.method.name);
  for (const r of leak.rows) put(r.group, r.label, r.value);
  for (const f of leak.findings) if (f.open) put("Decision", `${f.level} ${f.finding.replace(/_/g, " ")}`, "open");
  return by;
}

/**
 * What a change does: the trial of the leak as it stands beside the trial of it as it would be. A trial takes the leak
 * alone, without a search; where it says something else of the leak as it stands than the plan does, that is told.
 * @param {Leak} planned @param {Leak} before @param {Leak} after
 */
function difference(planned, before, after) {
  const [p, a, b] = [figures(planned), figures(before), figures(after)];
  return [...new Set([...b.keys(), ...a.keys()])].filter((k) => a.get(k)?.value !== b.get(k)?.value)
    // Notes come and go with the search for an order, which a try leaves out.
    .filter((k) => (a.get(k) ?? b.get(k))?.label !== "Note")
    .map((k) => ({ group: (b.get(k) ?? a.get(k))?.group ?? "", label: (b.get(k) ?? a.get(k))?.label ?? "", before: a.get(k)?.value ?? "", after: b.get(k)?.value ?? "", alone: p.get(k)?.value !== a.get(k)?.value }));
}

/** @param {ReturnType<typeof difference>} list */
function comparison(list) {
  if (!list.length) return h("p", { class: "note" }, "That changes no figure of this leak.");
  const table = h("div", { class: "frame", tabindex: "0", role: "region", "aria-label": "Before and with the change" }, h("table", { class: "try-table" }, h("caption", { class: "unseen" }, "Figures before and with the change"),
    h("thead", null, h("tr", null, ["Figure", "Before", "With the change"].map((t) => h("th", { scope: "col" }, t)))),
    h("tbody", null, list.map((c) => h("tr", null, h("th", { scope: "row" }, c.label, h("span", { class: "muted small" }, ` ${c.group}${c.alone ? ", taken alone" : ""}`)), h("td", { class: "muted" }, c.before || "none"),
      h("td", null, h("span", { class: "changed-value" }, icon("changed"), " ", c.after || "none")))))));
  return [table, list.some((c) => c.alone) && h("p", { class: "muted small" }, "Taken alone: without the packs and the overlaps of the other leaks, and without a search for an order. The next plan counts them.")];
}

/** Fields of one station: where it is, its width, how wet. @param {any} s @param {string} length @param {string} size @param {(fault?: string) => void} changed */
function stationFields(s, length, size, changed) {
  const at = `${s["chainage_" + length] ?? ""} ${length}`;
  const width = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", value: s["width_" + size] ?? "", "aria-label": `Width at ${at}, ${size}`, class: "width" });
  const wet = h("select", { "aria-label": `Wetness at ${at}` }, wetness.map((w) => h("option", { value: w, selected: w === s.wetness }, w)));
  width.addEventListener("input", () => {
    // A decimal comma is understood; a field of numbers would drop it: 0,3 mm would be 3 mm.
    const { value, fault } = readNumber(width.value);
    if (value === null) delete s["width_" + size];
    else s["width_" + size] = value;
    changed(fault && `Width at ${at}: ${fault}.`);
  });
  wet.addEventListener("change", () => {
    s.wetness = wet.value;
    changed();
  });
  return h("tr", null, h("th", { scope: "row", class: "n" }, at), h("td", null, width), h("td", null, wet));
}

/** @param {any} defect @param {Ctx} ctx @param {(fault?: string) => void} changed */
function inputs(defect, ctx, changed) {
  const [length, size] = ctx.units === "us" ? ["ft", "in"] : ["m", "mm"];
  const faces = h("select", null, [["", "not said"], ["sawn", "sawn"], ["chipped", "chipped"]].map(([v, t]) => h("option", { value: v, selected: v === (defect.slot_faces ?? "") }, t)));
  faces.addEventListener("change", () => {
    if (faces.value) defect.slot_faces = faces.value;
    else delete defect.slot_faces;
    changed();
  });
  return [
    h("div", { class: "frame try-stations" }, h("table", { class: "stations" }, h("caption", { class: "unseen" }, "Stations"),
      h("thead", null, h("tr", null, h("th", { scope: "col", class: "n" }, "At"), h("th", { scope: "col" }, `Width, ${size}`), h("th", { scope: "col" }, "Wetness"))),
      h("tbody", null, (defect.stations ?? []).map((/** @type {any} */ s) => stationFields(s, length, size, changed))))),
    field("Faces of the slot", faces, "Chipped faces bond better than sawn ones."),
  ];
}

/** A fault of a station, with its place on the wall for its place in the file. @param {string} sentence @param {any} defect @param {Ctx} ctx */
function placed(sentence, defect, ctx) {
  const length = ctx.units === "us" ? "ft" : "m";
  return sentence.replace(/^stations\[(\d+)\]\.width_\w+:/, (whole, i) => {
    const at = defect.stations?.[Number(i)]?.["chainage_" + length];
    return at === undefined ? whole : `Width at ${at} ${length}`;
  });
}

/** The form and its result. @param {Ctx} ctx @param {Leak} leak @param {() => void} again called when a change was kept */
export function tryPanel(ctx, leak, again) {
  const form = h("div", { class: "stack" });
  const result = h("div", { class: "stack try-result", role: "status" });
  const box = h("div", { class: "stack" }, h("div", null, button("Change an input", () => void begin(), { sign: "draw" })), form, result);
  /** @type {any} */
  let defect;
  let hash = "";
  let standing = leak;
  /** @type {AbortController|undefined} */
  let asked;
  const keep = button("Keep", () => void save(), { class: "button main", sign: "yes", disabled: true });
  const ask = async () => {
    asked?.abort();
    asked = new AbortController();
    const mine = asked;
    try {
      /** @type {Leak} */
      const after = await ctx.api.post(ctx.api.at(ctx.job, "try"), { defect }, mine.signal);
      if (mine.signal.aborted) return;
      fill(result, h("h3", null, "What it would do"), comparison(difference(leak, standing, after)));
      keep.disabled = false;
    } catch (error) {
      if (mine.signal.aborted) return;
      keep.disabled = true;
      if (!(error instanceof Fault)) throw error;
      refused(placed(error.message, defect, ctx));
    }
  };
  const later = settled(wait_ms, () => void ask().catch(ctx.fail));
  const refused = (/** @type {string} */ sentence) => {
    keep.disabled = true;
    fill(result, h("p", { class: "note stop" }, icon("weak"), sentence));
  };
  /** What was typed was taken, or why not. @param {string} [fault] */
  const changed = (fault) => {
    asked?.abort();
    keep.disabled = true;
    if (!fault) return later();
    later.cancel();
    refused(fault);
  };
  const begin = async () => {
    try {
      const { survey, hashes } = await ctx.api.get(ctx.api.at(ctx.job, "survey"), ctx.signal);
      const found = survey.defects.find((/** @type {any} */ d) => d.mark === leak.mark);
      if (!found) throw new Fault(404, `${leak.mark} is not in the survey any more.`);
      defect = structuredClone(found);
      hash = hashes.defects[leak.mark];
      standing = await ctx.api.post(ctx.api.at(ctx.job, "try"), { defect: found }, ctx.signal);
      keep.disabled = true;
      const buttons = h("div", { class: "row" }, may(ctx.session.role, "estimator") && keep, button("Leave as it was", () => fill(box, ...fresh())));
      fill(box, form, buttons, result);
      fill(form, inputs(defect, ctx, changed));
      fill(result, h("p", { class: "muted" }, "Change a width, a wetness or the faces: what it would do stands here at once. Nothing is kept yet."));
      const first = form.querySelector("input, select");
      if (first instanceof HTMLElement) first.focus({ preventScroll: true });
      box.closest("section")?.scrollIntoView(); // there is room for the result then
    } catch (error) {
      ctx.fail(error);
    }
  };
  const fresh = () => {
    asked?.abort();
    later.cancel();
    fill(form);
    fill(result);
    return [h("div", null, button("Change an input", () => void begin(), { sign: "draw" })), form, result];
  };
  const save = async () => {
    keep.disabled = true;
    try {
      await ctx.api.post(ctx.api.at(ctx.job, "edit"), { changes: [{ what: "defect", key: leak.mark, before: hash, after: defect }] });
      ctx.say(`${leak.mark}: change kept.`);
      again();
    } catch (error) {
      ctx.fail(error);
      if (error instanceof Fault && error.conflict) fill(box, ...fresh());
      else keep.disabled = false;
    }
  };
  return box;
}
