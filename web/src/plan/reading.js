// reading.js - the readings of a leak's gauges in a table, one more typed in, a wrong one taken away.
import { button, field, fill, freshId, h, icon } from "../dom.js";
import { Fault, may } from "../api.js";
import { readNumber } from "../draw/number.js";
import { row, table } from "../table.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Leak} Leak */
/** @typedef {import("./types.js").Again} Again */
/** @typedef {import("./pending.js").Standing} Standing */
/** @typedef {import("./gauge.js").Kept} Kept */

const inUnits = { metric: { width: "width_mm", size: "mm", temperature: "temperature_c", degrees: "°C" }, us: { width: "width_in", size: "in", temperature: "temperature_f", degrees: "°F" } };

/** Today where the browser is. */
function today() {
  const now = new Date();
  return [now.getFullYear(), String(now.getMonth() + 1).padStart(2, "0"), String(now.getDate()).padStart(2, "0")].join("-");
}

/** A field of numbers; phones' keys for decimals have no minus, so that it has a button. @param {string} name @param {string} label @param {string} [hint] */
function numberField(name, label, hint) {
  const input = h("input", { name, type: "text", inputmode: "decimal", autocomplete: "off" });
  const box = field(label, input, hint);
  const sign = button("±", () => {
    input.value = input.value.startsWith("-") ? input.value.slice(1) : `-${input.value}`;
    input.focus();
  }, { "aria-label": `Change the sign: ${label}` });
  const pair = h("div", { class: "signed" });
  input.replaceWith(pair);
  pair.append(input, sign);
  return { input, box };
}

/** What the fields say, or a sentence why not. @param {string} gauge @param {string} on @param {HTMLInputElement} width @param {HTMLInputElement} warm @param {typeof inUnits.metric} u */
function said(gauge, on, width, warm, u) {
  const [w, t] = [readNumber(width.value), readNumber(warm.value)];
  if (!on) return { fault: "Say the day of the reading." };
  if (w.fault) return { fault: `Width: ${w.fault}.`, at: width };
  if (w.value === null) return { fault: "Type the width that the gauge shows.", at: width };
  if (t.fault) return { fault: `Temperature: ${t.fault}.`, at: warm };
  return { reading: { gauge: gauge || null, on, [u.width]: w.value, [u.temperature]: t.value } };
}

/** @param {Ctx} ctx @param {Leak} leak @param {Standing|null} now @param {Again} again @param {Kept} kept @param {() => void} leave */
export function readingForm(ctx, leak, now, again, kept, leave) {
  const u = inUnits[ctx.units];
  const names = [...new Set([...leak.diagnosis.movement.gauges.map((g) => g.gauge), ...(now?.defect.readings ?? []).map((r) => r.gauge ?? "")])].filter(Boolean);
  const list = h("datalist", { id: freshId("gauges") }, names.map((n) => h("option", { value: n })));
  const gauge = h("input", { name: "gauge", type: "text", maxlength: 40, autocomplete: "off", list: list.id, value: kept.gauge ?? (names.length === 1 ? names[0] : "") });
  const on = h("input", { name: "on", type: "date", required: true, value: kept.on ?? today() });
  const width = numberField("width", `Width, ${u.size}`);
  const warm = numberField("temperature", `Temperature of the wall, ${u.degrees}`, "Of the concrete. Leave it empty only where the job has a log of the air.");
  const fault = h("p", { class: "note stop", role: "alert", hidden: true });
  const submit = h("button", { type: "submit", class: "button main" }, "Keep the reading");
  const form = h("form", { class: "stack answer reading", novalidate: true }, h("div", { class: "form-fields" }, width.box, warm.box, field("Day", on), field("Gauge", gauge, names.length ? `Known here: ${names.join(", ")}.` : "Its name; empty where the leak has one gauge.")), list,
    fault, h("div", { class: "row" }, submit, button("Done", leave)));
  const refuse = (/** @type {string} */ sentence, /** @type {HTMLElement|undefined} */ at) => {
    fill(fault, icon("weak"), h("span", null, sentence));
    fault.hidden = false;
    submit.disabled = false;
    at?.focus();
  };
  form.addEventListener("submit", async (e) => {
    e.preventDefault();
    fault.hidden = true;
    const { reading, fault: sentence, at } = said(gauge.value.trim(), on.value, width.input, warm.input, u);
    if (!reading) return refuse(sentence ?? "", at);
    submit.disabled = true;
    try {
      await ctx.api.post(ctx.api.at(ctx.job, "readings"), { mark: leak.mark, ...reading });
      Object.assign(kept, { gauge: gauge.value.trim(), on: on.value });
      ctx.say(`${leak.mark}: reading kept. Plan again to see the verdict.`);
      await again();
    } catch (error) {
      if (!(error instanceof Fault)) {
        submit.disabled = false;
        return ctx.fail(error);
      }
      refuse(error.message, undefined);
    }
    return undefined;
  });
  return { form, first: width.input };
}

/** @param {Ctx} ctx @param {Leak} leak @param {Standing} now @param {number} at @param {Again} again */
async function remove(ctx, leak, now, at, again) {
  const r = now.defect.readings?.[at];
  if (!r) return;
  const sure = await ctx.ask({ title: "Remove this reading?", text: `${r.gauge ? `Gauge ${r.gauge}, ` : ""}${r.on}, ${shown(ctx, r)}.`, yes: "Remove", danger: true });
  if (!sure) return;
  try {
    const readings = now.defect.readings?.filter((_, i) => i !== at) ?? [];
    const after = { ...now.defect, readings };
    await ctx.api.post(ctx.api.at(ctx.job, "edit"), { changes: [{ what: "defect", key: leak.mark, before: now.hash, after }] });
    ctx.say(`${leak.mark}: reading removed. Plan again to see the verdict.`);
    await again();
    document.querySelector("#readings > summary")?.scrollIntoView({ block: "nearest" });
    /** @type {HTMLElement|null} */ (document.querySelector("#readings > summary"))?.focus();
  } catch (error) {
    ctx.fail(error);
  }
}

/** @param {Ctx} ctx @param {import("./pending.js").Reading} r */
function shown(ctx, r) {
  const u = inUnits[ctx.units];
  return `${r[u.width]} ${u.size}`;
}

/** @param {Ctx} ctx @param {Leak} leak @param {Standing|null} now @param {Again} again @param {Kept} kept */
export function readingTable(ctx, leak, now, again, kept) {
  const list = now?.defect.readings ?? [];
  if (!now || !list.length) return null;
  const u = inUnits[ctx.units];
  const named = new Set(list.map((r) => r.gauge ?? "")).size > 1, mayRemove = may(ctx.session.role, "estimator");
  const aside = new Set(leak.diagnosis.movement.gauges.flatMap((g) => g.set_aside.map((on) => `${g.gauge} ${on}`)));
  const heads = ["Day", ...(named ? ["Gauge"] : []), "#Width", "#Wall", "Note", ...(mayRemove ? [""] : [])];
  const rows = list.map((r, i) => row(heads, [r.on, ...(named ? [r.gauge ?? ""] : []), shown(ctx, r), typeof r[u.temperature] === "number" ? `${r[u.temperature]} ${u.degrees}` : "",
    aside.has(`${r.gauge ?? ""} ${r.on}`) ? "set aside" : "", ...(mayRemove ? [button("Remove", () => void remove(ctx, leak, now, i, again), { class: "button bare", "aria-label": `Remove the reading of ${r.gauge ? `gauge ${r.gauge}, ` : ""}${r.on}` })] : [])])).reverse();
  return h("details", { id: "readings", open: kept.open === true && kept.on !== undefined }, h("summary", null, `Readings (${list.length})`), h("div", { class: "short" }, table("Gauge readings, newest first", heads, rows)));
}
