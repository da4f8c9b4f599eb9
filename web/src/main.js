// main.js - the start of the page and its router. What stands after "#" says which screen; each screen is a part
// with `open(root, ctx)`; the heavy ones (draw, plan, works, wall, proof ...) come when they are first opened.
import { Fault, api } from "./api.js";
import { fill, h, button } from "./dom.js";
import { ask, fail, follow, need, say, showBar, showTabs } from "./shell.js";
import { applyTheme } from "./theme.js";
import * as jobs from "./screens/jobs.js";
import * as login from "./screens/login.js";
import * as people from "./screens/people.js";
import * as log from "./screens/log.js";
import * as settings from "./screens/settings.js";

/** @typedef {{open: import("./types.js").OpenPart}} Module */

/** @type {Record<string, () => Promise<Module>>} */
const parts = {
  "": async () => jobs,
  login: async () => login,
  join: async () => login,
  settings: async () => settings,
  people: async () => people,
  log: async () => log,
  draw: () => withStyle("draw", import("./draw/draw.js")),
  plan: () => withStyle("plan", import("./plan/plan.js")),
  quantities: () => withStyle("plan", import("./plan/plan.js")),
  price: () => withStyle("plan", import("./plan/plan.js")),
  works: () => withStyle("works", import("./works/works.js")),
  wall: () => withStyle("wall", import("./wall/wall.js")),
  offer: () => withStyle("offer", import("./offer/offer.js")),
  rates: () => withStyle("rates", import("./rates/rates.js")),
  proof: () => withStyle("proof", import("./proof/proof.js")),
  built: () => withStyle("built", import("./built/built.js")),
};

/** @type {{part: import("./types.js").Part|null, leave: AbortController}} */
let now = { part: null, leave: new AbortController() };
/** @type {Map<string, "metric"|"us">} */
const unitsOf = new Map();

/** Waits for the style of a part together with its code. @template M @param {string} name @param {Promise<M>} code */
async function withStyle(name, code) {
  await Promise.all([code, style(name)]);
  return code;
}

/** @param {string} name @returns {Promise<void>} */
function style(name) {
  const address = document.querySelector(`meta[name="style-${name}"]`)?.getAttribute("content");
  if (!address || document.querySelector(`link[href="${address}"]`)) return Promise.resolve();
  return new Promise((resolve) => {
    // Without its style a screen is plain but works.
    document.head.appendChild(h("link", { rel: "stylesheet", href: address, load: () => resolve(), error: () => resolve() }));
  });
}

/** @typedef {{job: string, part: string, mark: string, query: URLSearchParams}} Route */
/** "#/job/J/plan/N1?x=y" @param {string} hash @returns {Route|null} */
export function route(hash) {
  const [path, query] = hash.replace(/^#\/?/, "").split("?");
  /** @type {string[]} */
  let words;
  try {
    words = path.split("/").map(decodeURIComponent);
  } catch {
    return null;
  }
  const q = new URLSearchParams(query ?? "");
  if (words[0] !== "job") return words.length === 1 && ["", "login", "join", "people", "settings", "rates"].includes(words[0]) ? { job: "", part: words[0], mark: "", query: q } : null;
  if (words[2] === "works" && words[3] === "day") words.splice(3, 1); // "#/job/J/works/day/2026-03-05": the day is the mark
  const [, job, part = "plan", mark = ""] = words;
  const known = ["draw", "plan", "quantities", "price", "offer", "works", "wall", "proof", "built", "log", "people"].includes(part);
  return job && known && words.length <= 4 ? { job, part, mark, query: q } : null;
}

/** @param {string} job @returns {Promise<"metric"|"us">} */
async function unitsFor(job) {
  if (!job) return "metric";
  const key = "stanch-units-" + job, last = localStorage.getItem(key);
  if (last && api.session.remembered) return last === "us" ? "us" : "metric"; // no signal: not waited for
  if (!unitsOf.has(job)) {
    try {
      const { jobs: list } = await api.get("/api/jobs");
      for (const j of list) unitsOf.set(j.job, j.units);
      const units = unitsOf.get(job);
      if (units) localStorage.setItem(key, units);
    } catch {
      // No signal: what it was last time.
      return last === "us" ? "us" : "metric";
    }
  }
  return unitsOf.get(job) ?? "metric";
}

/** @param {string} hash */
function go(hash) {
  if (location.hash === hash) void show();
  else location.hash = hash;
}

async function leave() {
  try {
    await api.post("/api/logout");
  } catch (error) {
    fail(error);
    if (error instanceof Fault && error.offline) return; // still logged in, and at the wall the day is still there
  }
  await api.open();
  go("#/login");
}

/** Every change of the address comes here. A later one overtakes an earlier one that is still loading. */
async function show() {
  const old = now;
  const mine = { part: /** @type {import("./types.js").Part|null} */ (null), leave: new AbortController() };
  now = mine;
  old.leave.abort();
  await old.part?.close();
  const r = route(location.hash);
  const root = h("div", { class: "screen" });
  const main = need("main");
  main.className = r?.part === "draw" ? "full" : "";
  if (!r) return unknown();
  if (api.session.role === "nobody" && !["login", "join", "settings"].includes(r.part)) return go(`#/login?to=${encodeURIComponent(location.hash)}`);
  showBar(r.job, leave);
  showTabs(r.job, r.part);
  const first = !main.querySelector(".screen");
  fill(main, root);
  try {
    const [module, units] = await Promise.all([parts[r.part](), unitsFor(r.job)]);
    if (now !== mine) return;
    const part = await module.open(root, context(r, units, mine.leave.signal));
    if (now !== mine) return void part.close();
    mine.part = part;
    settle(root, first);
  } catch (error) {
    if (now !== mine || (error instanceof DOMException && error.name === "AbortError")) return;
    broken(root, error);
  }
}

/** @param {Route} r @param {"metric"|"us"} units @param {AbortSignal} signal @returns {import("./types.js").Ctx} */
function context(r, units, signal) {
  return {
    api, session: api.session, job: r.job, part: r.part, mark: r.mark || undefined, query: r.query, units, signal, go, say, fail, ask,
    title: (text) => void (document.title = text ? `${text} - stanch` : "stanch"),
    follow: (work, words) => follow(work, words, signal),
  };
}

/** The reader's place is the heading of the new screen. @param {HTMLElement} root @param {boolean} first */
function settle(root, first) {
  const heading = root.querySelector("h1");
  if (!heading || first) return;
  if (root.contains(document.activeElement)) return;
  heading.tabIndex = -1;
  heading.focus({ preventScroll: true });
  scrollTo(0, 0);
}

/** @param {HTMLElement} root @param {unknown} error */
function broken(root, error) {
  console.warn(error);
  const sentence = error instanceof Error ? error.message : String(error);
  fill(root, h("div", { class: "stack" }, h("h1", null, "This screen did not open"), h("p", { class: "note stop", role: "alert" }, sentence),
    h("div", { class: "row" }, button("Try again", () => void show(), { class: "button main", sign: "again" }), h("a", { class: "button", href: "#/" }, "Jobs"))));
}

function unknown() {
  showBar("", leave);
  showTabs("", "");
  document.title = "Not found - stanch";
  fill(need("main"), h("div", { class: "screen stack" }, h("h1", null, "There is no such screen"), h("p", null, h("a", { href: "#/" }, "To the jobs"))));
}

async function start() {
  applyTheme();
  api.onReach((reached) => {
    const word = document.getElementById("offline");
    if (word) word.hidden = reached;
    need("live").textContent = reached ? "The server is reached again." : "No signal.";
  });
  api.onStranger(() => {
    const r = route(location.hash), entering = ["login", "join"].includes(r?.part ?? "");
    // Somebody at the wall is writing: it is kept on the phone first, the view says that a login is wanted.
    if (r?.part === "wall" && ["record", "mend", "correct"].includes(r.query.get("show") ?? "")) return;
    if (api.session.role === "nobody" && !entering) go(`#/login?to=${encodeURIComponent(location.hash)}`);
  });
  try {
    await api.open();
  } catch (error) {
    showBar("", leave);
    return broken(need("main"), error);
  }
  addEventListener("hashchange", () => void show());
  await show();
  if ("serviceWorker" in navigator && isSecureContext) navigator.serviceWorker.register("/sw.js").catch(() => {});
}

void start();
