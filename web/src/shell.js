// shell.js - what stands round every screen: the bar, the tabs of a job, notes at the edge, dialogs, progress.
import { append, button, field, fill, h, icon } from "./dom.js";
import { Fault, api, may } from "./api.js";

/** @param {string} id */
export const need = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

/** @param {string} text */
export function say(text) {
  need("live").textContent = text;
  const toast = h("div", { class: "toast said" }, h("span", { class: "words" }, text));
  document.querySelectorAll(".toast.said").forEach((old) => old.remove()); // a pile of them hides what is under the thumb
  need("toasts").appendChild(toast);
  setTimeout(() => toast.remove(), 5000);
}

/** @param {unknown} error */
export function fail(error) {
  if (error instanceof DOMException && error.name === "AbortError") return;
  if (!(error instanceof Fault)) console.error(error);
  const sentence = error instanceof Error ? error.message : String(error);
  const more = error instanceof Fault && error.faults.length > 1 ? h("ul", null, error.faults.map((f) => h("li", null, f))) : null;
  const toast = h("div", { class: "toast fault", role: "alert" }, icon("weak"), h("div", { class: "words" }, more ?? sentence));
  toast.appendChild(button("Close", () => toast.remove(), { class: "button bare" }));
  const toasts = need("toasts");
  while (toasts.childElementCount > 3) toasts.firstElementChild?.remove();
  toasts.appendChild(toast);
}

/** @param {NonNullable<import("./types.js").Question["fields"]>[number]} f */
function input(f) {
  const common = { name: f.name, value: f.value ?? "", required: !f.optional, maxlength: f.most };
  if (f.type === "area") return h("textarea", common);
  if (f.type === "choice") return h("select", common, (f.options ?? []).map(([value, words]) => h("option", { value, selected: value === f.value }, words)));
  const autocomplete = f.type === "password" ? "current-password" : "off";
  return h("input", { type: f.type ?? "text", autocomplete, step: f.type === "number" ? "any" : null, ...common });
}

/** @param {import("./types.js").Question} q @returns {Promise<Record<string, string>|null>} */
export function ask(q) {
  return new Promise((resolve) => {
    /** @type {Record<string, string>|null} */
    let answer = null;
    const heading = h("h2", { id: "dialog-title" }, q.title);
    const yes = h("button", { type: "submit", class: q.danger ? "button danger" : "button main" }, q.yes ?? "OK");
    const form = h("form", { class: "stack", method: "dialog" }, heading, q.text && h("p", null, q.text), q.fault && h("p", { class: "note stop", role: "alert" }, q.fault));
    append(form, (q.fields ?? []).map((f) => field(f.label, input(f), f.hint)));
    const dialog = h("dialog", { "aria-labelledby": "dialog-title" }, form);
    form.appendChild(h("div", { class: "row end" }, button("Cancel", () => dialog.close()), yes));
    form.addEventListener("submit", () => {
      answer = Object.fromEntries([...new FormData(form)].map(([k, v]) => [k, String(v)]));
    });
    const leave = () => dialog.close(); // it belongs to the screen under it
    addEventListener("hashchange", leave);
    dialog.addEventListener("close", () => {
      removeEventListener("hashchange", leave);
      dialog.remove();
      resolve(answer);
    });
    document.body.appendChild(dialog);
    dialog.showModal();
  });
}

/** Shows the progress of long work, with a stop button, until it has ended. A quick one shows nothing.
 * @param {number} number @param {string} words @param {AbortSignal} [signal] @returns {Promise<import("./types.js").Work>} */
export async function follow(number, words, signal) {
  const began = performance.now();
  const bar = h("progress", { max: 1, "aria-label": words });
  const saying = h("span", { class: "small" }, words);
  const stop = button("Stop", () => void api.del(`/api/work/${number}`).catch(fail), { sign: "close" });
  const card = h("div", { class: "toast working" }, h("div", { class: "words stack tight" }, saying, bar), stop);
  try {
    for (;;) {
      /** @type {import("./types.js").Work} */
      const work = await api.get(`/api/work/${number}`, signal);
      if (!["waiting", "running"].includes(work.state)) return ended(work, words);
      const age = performance.now() - began;
      if (age > 300 && !card.isConnected) need("toasts").appendChild(card);
      bar.value = work.part;
      saying.textContent = work.saying ? `${words}: ${work.saying}` : words;
      await new Promise((next) => setTimeout(next, age < 1000 ? 60 : 250));
    }
  } finally {
    card.remove();
  }
}

/** @param {import("./types.js").Work} work @param {string} words */
function ended(work, words) {
  if (work.state === "failed") throw new Fault(422, work.fault ?? `${words}: failed.`);
  if (work.state === "stopped") say(`${words}: stopped.`);
  return work;
}

/** @typedef {[string, string, Parameters<typeof icon>[0], boolean]} Tab  part, words, sign, rare (not at the foot of a phone) */
/** @type {Tab[]} */
const tabs = [
  ["draw", "Survey", "draw", false],
  ["plan", "Plan", "plan", false],
  ["quantities", "Quantities", "amount", false],
  ["price", "Price", "price", true],
  ["offer", "Offer", "file", true],
  ["works", "Works", "works", false],
  ["wall", "At the wall", "wall", false],
  ["proof", "Proof", "proof", true],
  ["built", "As built", "built", true],
  ["log", "Log", "log", true],
];

/** @param {string} job @param {string} part */
export function showTabs(job, part) {
  const nav = need("tabs");
  nav.hidden = !job;
  fill(nav, job ? tabs.map(([to, words, sign, rare]) => h("a", { href: `#/job/${encodeURIComponent(job)}/${to}`, class: rare ? "rare" : null,
    "aria-current": to === part ? "page" : null }, icon(sign), words)) : null);
}

/** @param {string} job @param {() => void} leave */
export function showBar(job, leave) {
  const home = h("a", { class: "home", href: "#/", "aria-label": "stanch: jobs" }, h("img", { src: "/icon.svg", alt: "" }), "stanch");
  const offline = h("span", { class: "offline", hidden: api.reached, id: "offline" }, "No signal");
  fill(need("bar"), home, h("span", { class: job ? "job" : "gap" }, job), offline, menu(job, leave));
}

/** @param {string} job @param {() => void} leave */
function menu(job, leave) {
  const s = api.session;
  const list = h("div", { class: "menu-list", id: "menu-list", hidden: true });
  const open = h("button", { type: "button", class: "button bare", "aria-expanded": "false", "aria-controls": "menu-list" }, icon("menu"), h("span", { class: "menu-word" }, "Menu"));
  const show = (/** @type {boolean} */ on) => {
    list.hidden = !on;
    open.setAttribute("aria-expanded", String(on));
  };
  /** @param {string} words @param {string} to @param {Parameters<typeof icon>[0]} sign */
  const link = (words, to, sign) => h("a", { href: to, click: () => show(false) }, icon(sign), words);
  append(list, [
    s.who && h("p", { class: "small muted" }, `${s.who}, ${s.role}`),
    link("Jobs", "#/", "jobs"),
    job && link("Price", `#/job/${encodeURIComponent(job)}/price`, "price"),
    job && link("Offer", `#/job/${encodeURIComponent(job)}/offer`, "file"),
    job && link("Proof", `#/job/${encodeURIComponent(job)}/proof`, "proof"),
    job && link("As built", `#/job/${encodeURIComponent(job)}/built`, "built"),
    job && link("Log of the job", `#/job/${encodeURIComponent(job)}/log`, "log"),
    may(s.role, "estimator") && link("Rates from finished jobs", "#/rates", "amount"),
    s.role !== "nobody" && link("People and sessions", job ? `#/job/${encodeURIComponent(job)}/people` : "#/people", "people"),
    link("Settings", "#/settings", "theme"),
    s.site && may(s.role, "viewer") && button("Log out", leave, { class: "button bare", sign: "out" }),
  ]);
  open.addEventListener("click", () => show(list.hidden));
  const box = h("div", { class: "menu" }, open, list);
  box.addEventListener("keydown", (e) => {
    if (e.key !== "Escape" || list.hidden) return;
    show(false);
    open.focus();
  });
  box.addEventListener("focusout", (e) => {
    if (e.relatedTarget instanceof Node && !box.contains(e.relatedTarget)) show(false);
  });
  return box;
}
