/**
 * The page with no signal: all its files are kept when it is first opened. Answers of /api/ are never kept here; what a
 * phone needs of a job is in its database (wall/db.js).
 *
 * A new version waits until every window of the old one is closed, so a window never mixes two.
 */
const worker = /** @type {any} */ (self);
const cacheName = `stanch-${BUILD_ID}`;
const files = [...new Set(Object.values(BUILD_FILES).flat())];

worker.addEventListener("install", (/** @type {any} */ e) => {
  e.waitUntil(caches.open(cacheName).then((c) => c.addAll(files.map((f) => new Request(f, { cache: "no-cache" })))));
});

async function clean() {
  for (const key of await caches.keys()) if (key.startsWith("stanch-") && key !== cacheName) await caches.delete(key);
  await worker.clients.claim();
}

worker.addEventListener("activate", (/** @type {any} */ e) => e.waitUntil(clean()));

/** The newest page when the server answers soon, else the kept one. @param {Request} request */
async function page(request) {
  const kept = await caches.match("/", { cacheName });
  if (!kept) return fetch(request);
  const late = new AbortController();
  const timer = setTimeout(() => late.abort(), 3000);
  try {
    const fresh = await fetch(request, { signal: late.signal });
    return fresh.ok ? fresh : kept;
  } catch {
    return kept;
  } finally {
    clearTimeout(timer);
  }
}

/** @param {Request} request */
async function file(request) {
  return (await caches.match(request, { cacheName, ignoreSearch: true })) ?? fetch(request);
}

worker.addEventListener("fetch", (/** @type {any} */ e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== worker.location.origin || url.pathname.startsWith("/api/")) return;
  if (e.request.mode === "navigate" && (url.pathname === "/" || url.pathname === "/index.html")) e.respondWith(page(e.request));
  else e.respondWith(file(e.request));
});

/** A touch on the notice of a timer opens its leak. */
worker.addEventListener("notificationclick", (/** @type {any} */ e) => {
  e.notification.close();
  const hash = String(e.notification.data ?? "");
  e.waitUntil(worker.clients.matchAll({ type: "window" }).then(async (/** @type {any[]} */ windows) => {
    const open = windows[0];
    if (!open) return worker.clients.openWindow(`/${hash}`);
    await open.focus();
    return open.navigate(`/${hash}`);
  }));
});
