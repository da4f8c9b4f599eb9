// api.js - asking the server. Every answer that is not 2xx, and every request that reached nobody, is a Fault.

/**
 * @typedef {object} Session
 * @property {string} token      goes back with every change
 * @property {string} who
 * @property {Role} role
 * @property {boolean} local     no login: the server listens to this machine only
 * @property {boolean} site      the server listens to the network of the site
 * @property {string} program
 * @property {string} address    what this server is reached by
 * @property {boolean} [remembered]  the server cannot be reached: this is who was here last
 */
/** @typedef {"nobody"|"viewer"|"foreman"|"estimator"} Role */
/** @typedef {{what: string, key: string, now: any, hash: string|null}} Conflict */

/** What went wrong, in one sentence (`message`) made by the server. */
export class Fault extends Error {
  /** @param {number} code 0: nobody answered @param {string} sentence
   * @param {{faults?: string[], conflict?: Conflict}} [more] */
  constructor(code, sentence, more) {
    super(sentence);
    this.name = "Fault";
    this.code = code;
    /** @type {string[]} */
    this.faults = more?.faults ?? [];
    this.conflict = more?.conflict;
  }
  get offline() {
    return this.code === 0;
  }
}

const remembered = "stanch-session";

/** @type {Session} */
let session = { token: "", who: "", role: "nobody", local: false, site: false, program: "", address: "" };
/** @type {Set<() => void>} */
const watchers = new Set();
/** @type {Set<(reached: boolean) => void>} */
const reachWatchers = new Set();
let reached = true;

/** @param {Session} s @returns {Session} */
function keep(s) {
  session = { ...s, token: s.token ?? "", who: s.who ?? "" };
  try {
    const { token: _, ...rest } = s;
    localStorage.setItem(remembered, JSON.stringify(rest));
  } catch {
    // Private windows have no storage: then a start without signal is not possible, all else is.
  }
  return session;
}

/** @returns {string|null} */
function lastSession() {
  try {
    return localStorage.getItem(remembered);
  } catch {
    return null;
  }
}

/** @param {boolean} now */
function setReached(now) {
  if (now === reached) return;
  reached = now;
  for (const f of reachWatchers) f(now);
}

/**
 * A request in a dead spot may hang for minutes: after this long it counts as no signal, its answer's last byte included.
 * Our own defaults: a plan of a large job is read, a photo goes up a weak line. `last`: who was here last is known.
 */
const patience_ms = { GET: 20000, change: 60000, upload: 180000, last: 5000 };
/** @typedef {{body?: BodyInit, type?: string, signal?: AbortSignal, patience?: number}} How */
/** @typedef {{ok: boolean, status: number, bytes: Blob}} Answer */

/** @param {string} method @param {How} how */
function patienceFor(method, how) {
  if (how.patience) return how.patience;
  return method === "GET" ? patience_ms.GET : how.body instanceof Blob ? patience_ms.upload : patience_ms.change;
}

/** @param {unknown} error @param {boolean} late */
function lost(error, late) {
  if (!late && error instanceof DOMException && error.name === "AbortError") return error;
  setReached(false);
  return new Fault(0, "The server cannot be reached.");
}

/** The whole answer, or a Fault. @param {string} method @param {string} path @param {How} how @returns {Promise<Answer>} */
async function send(method, path, how) {
  /** @type {Record<string, string>} */
  const headers = { Accept: "application/json" };
  if (how.type) headers["Content-Type"] = how.type;
  if (method !== "GET") headers["X-Stanch-Token"] = session.token;
  const end = new AbortController(), abort = () => end.abort();
  let late = false;
  const timer = setTimeout(() => {
    late = true;
    end.abort();
  }, patienceFor(method, how));
  if (how.signal?.aborted) abort();
  how.signal?.addEventListener("abort", abort);
  try {
    const answer = await fetch(path, { method, headers, body: how.body, signal: end.signal, credentials: "same-origin" });
    const bytes = await answer.blob();
    setReached(true);
    return { ok: answer.ok, status: answer.status, bytes };
  } catch (error) {
    throw lost(error, late);
  } finally {
    clearTimeout(timer);
    how.signal?.removeEventListener("abort", abort);
  }
}

/** @param {Answer} answer */
async function faultOf(answer) {
  /** @type {any} */
  let body = null;
  try {
    body = await json(answer);
  } catch {
    // Not JSON: the code says what there is to say.
  }
  return new Fault(answer.status, body?.fault ?? `The server answered ${answer.status}.`, body ?? undefined);
}

/** @param {string} method @param {string} path @param {How} how */
async function request(method, path, how) {
  let answer = await send(method, path, how);
  // The server was begun again, or another window logged in: the session or the token is a new one.
  const over = answer.status === 401 && path !== "/api/login" && path !== "/api/join";
  if (over || (answer.status === 403 && method !== "GET")) {
    const before = session.token;
    await refresh();
    if (session.role !== "nobody" && (over || session.token !== before)) answer = await send(method, path, how);
  }
  if (answer.ok) return answer;
  const fault = await faultOf(answer);
  if (fault.code === 401) for (const f of watchers) f();
  throw fault;
}

async function refresh() {
  const answer = await send("GET", "/api/session", {});
  if (answer.ok) keep(await json(answer));
}

/** @param {Answer} answer @returns {Promise<any>} */
async function json(answer) {
  const text = await answer.bytes.text();
  return text ? JSON.parse(text) : {};
}

/** @param {string} method @param {string} path @param {unknown} body @param {AbortSignal} [signal] */
async function jsonCall(method, path, body, signal) {
  return json(await request(method, path, { body: JSON.stringify(body ?? {}), type: "application/json", signal }));
}

export const api = {
  /** Who is there. Without a signal: who was there last, with `remembered` set.
   * @returns {Promise<Session>} */
  async open() {
    const last = lastSession();
    try {
      return keep(await json(await request("GET", "/api/session", { patience: last ? patience_ms.last : undefined })));
    } catch (error) {
      if (!(error instanceof Fault && error.offline && last)) throw error;
      session = { ...JSON.parse(last), token: "", remembered: true };
      return session;
    }
  },
  get session() {
    return session;
  },
  /** The session that a login or a joining gave. @param {Session} s */
  enter: (s) => keep(s),
  /** @param {string} path @param {AbortSignal} [signal] @returns {Promise<any>} */
  get: async (path, signal) => json(await request("GET", path, { signal })),
  /** @param {string} path @param {AbortSignal} [signal] */
  blob: async (path, signal) => (await request("GET", path, { signal })).bytes,
  /** @param {string} path @param {unknown} [body] @param {AbortSignal} [signal] @returns {Promise<any>} */
  post: (path, body, signal) => jsonCall("POST", path, body, signal),
  /** @param {string} path @param {unknown} [body] @returns {Promise<any>} */
  put: (path, body) => jsonCall("PUT", path, body),
  /** @param {string} path @returns {Promise<any>} */
  del: async (path) => json(await request("DELETE", path, { type: "application/json" })),
  /** Sends a file as it is. @param {string} path @param {Blob} file @returns {Promise<any>} */
  upload: async (path, file) => json(await request("POST", path, { body: file, type: "application/octet-stream" })),
  /** Address below a job, each part encoded: `at("pump", "leaks", "N1")`. @param {string} job @param {...string} parts */
  at: (job, ...parts) => ["/api/jobs", encodeURIComponent(job), ...parts.map(encodeURIComponent)].join("/"),
  /** Whether the last request reached the server. */
  get reached() {
    return reached;
  },
  /** Called when the server is lost and when it is found again. @param {(reached: boolean) => void} f */
  onReach(f) {
    reachWatchers.add(f);
    return () => void reachWatchers.delete(f);
  },
  /** Called when the server asks who this is. @param {() => void} f */
  onStranger(f) {
    watchers.add(f);
    return () => void watchers.delete(f);
  },
};

/** @typedef {typeof api} Api */

/** @type {Role[]} */
const ranks = ["nobody", "viewer", "foreman", "estimator"];

/** Whether a role is at least another. @param {Role} role @param {Role} least */
export function may(role, least) {
  return ranks.indexOf(role) >= ranks.indexOf(least);
}
