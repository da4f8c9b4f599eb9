// browser.mjs - a fresh start for a test of the page: a folder with a new job, the server on a free port, Chromium.
//
//   const stage = await begin();                       // examples/pump-house.json as job "pump"
//   const page = await stage.page({ phone: true, theme: "dark" });
//   await page.goto(stage.base + "/#/job/pump/plan");
//   await accessible(page, "plan");                    // axe-core finds nothing, nothing to scroll sideways
//   await stage.end();                                 // fails on any error that a console or the CSP reported
//
// STANCH is the program, PAGE_MODULES a folder with node_modules, PAGE_SHOTS where pictures of failures go.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
export const root = join(here, "..", "..");
const modules = createRequire(join(process.env.PAGE_MODULES ?? join(root, "web"), "from.cjs"));
const chromiumPath = process.env.CHROMIUM ?? "/usr/bin/chromium";
const flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
/** A program with sanitizers on a busy machine is slow; nothing here measures time. */
const patience_ms = 60000;

/** Ends with the code of a skipped test where there is nothing to test with. */
function skipUnless(there, sentence) {
  if (there) return;
  console.log(`skipped: ${sentence}`);
  process.exit(77);
}

export const stanch = process.env.STANCH ?? "";

/** Runs a command of the program; returns what it prints. */
export function run(...words) {
  return execFileSync(stanch, words, { encoding: "utf8", env: { ...process.env, OPENBLAS_NUM_THREADS: "1" }, maxBuffer: 1 << 27 });
}

/** Starts `stanch serve`; resolves with the process and the address that it printed. */
function serve(place, words) {
  return new Promise((resolve, reject) => {
    const child = spawn(stanch, ["serve", place, "--port", "0", ...words], { env: { ...process.env, OPENBLAS_NUM_THREADS: "1" }, stdio: ["ignore", "pipe", "pipe"] });
    let out = "";
    let err = "";
    child.stderr.on("data", (d) => (err += d));
    child.stdout.on("data", (d) => {
      out += d;
      const address = /https?:\/\/[^\s/]+/.exec(out)?.[0];
      if (address) resolve({ child, base: address, said: () => out });
    });
    child.on("exit", (code) => reject(new Error(`stanch serve ended with ${code}: ${err}`)));
  });
}

/** Collects what must not happen on a page. */
function watch(page, troubles) {
  const add = (text) => void troubles.push(text);
  page.on("console", (m) => m.type() === "error" && add(`console: ${m.text()} (${m.location().url})`));
  page.on("pageerror", (e) => add(`script: ${e.stack ?? e.message}`));
  page.on("response", (r) => r.status() >= 500 && add(`answer ${r.status()}: ${r.url()}`));
}

/**
 * A fresh start. `survey`: file of a survey, or null for no job; `job`: name of its file; `words`: more for `serve`.
 */
export async function begin({ survey = join(root, "examples", "pump-house.json"), job = "pump", words = [] } = {}) {
  skipUnless(stanch && existsSync(stanch), "STANCH names no program");
  skipUnless(existsSync(chromiumPath), "no Chromium here");
  const { chromium } = modules("playwright-core");
  const folder = mkdtempSync(join(tmpdir(), "stanch-page-"));
  const file = join(folder, `${job}.stanch`);
  if (survey) {
    run("new", file, ...unitsOf(survey));
    run("import", file, survey);
  }
  const { child, base, said } = await serve(folder, words);
  const browser = await chromium.launch({ executablePath: chromiumPath, args: flags, headless: true });
  const troubles = [];
  const expected = [];
  const contexts = [];
  return {
    base, folder, file, browser, troubles,
    /** What `stanch serve` has printed so far. */
    said,
    /** Patterns of console errors that a test provokes. */
    expected,
    server: child,
    /** A window of its own storage: desktop, or 390 x 844 with touch; light or dark. */
    async page({ phone = false, theme = "light", ...more } = {}) {
      const context = await browser.newContext({ viewport: phone ? { width: 390, height: 844 } : { width: 1280, height: 800 }, hasTouch: phone, isMobile: phone, colorScheme: theme,
        reducedMotion: "reduce", acceptDownloads: true, ignoreHTTPSErrors: true, ...more });
      contexts.push(context);
      context.setDefaultTimeout(patience_ms);
      context.on("page", (p) => watch(p, troubles));
      return context.newPage();
    },
    /** Stops all; a second call does nothing. */
    async end() {
      for (const c of contexts) await c.close();
      await browser.close();
      const gone = new Promise((done) => child.on("exit", (code, signal) => done(code ?? signal)));
      if (child.exitCode === null && child.kill("SIGTERM")) assert.equal(await gone, 0, "stanch serve stops cleanly");
      rmSync(folder, { recursive: true, force: true });
      assert.deepEqual(troubles.filter((t) => !expected.some((e) => e.test(t))), [], "no error on a console, no fault of the server");
    },
  };
}

function unitsOf(survey) {
  return JSON.parse(readFileSync(survey, "utf8")).units === "us" ? ["--units", "us"] : [];
}

const axeSource = () => readFileSync(modules.resolve("axe-core/axe.min.js"), "utf8");
const rules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** axe-core finds nothing on the page as it stands, and the page does not scroll sideways. */
export async function accessible(page, where) {
  await page.evaluate(axeSource());
  const violations = await page.evaluate(async (tags) => {
    const found = await globalThis.axe.run(document, { runOnly: tags });
    return found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => `${n.html.slice(0, 160)} ${n.failureSummary ?? ""}`).slice(0, 3).join(" | ")}`);
  }, rules);
  assert.deepEqual(violations, [], `axe-core on ${where}`);
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  assert.ok(over <= 0, `${where} scrolls sideways by ${over} px`);
}

/** What is touched is at least 44 px high on a phone (links in a line of text excepted). */
export async function touchable(page, where) {
  const small = await page.evaluate(() => [...document.querySelectorAll("button, select, input:not([type=checkbox]):not([type=radio]):not(.unseen), .tabs a, a.button")]
    .filter((e) => e.checkVisibility() && e.getBoundingClientRect().height > 0 && e.getBoundingClientRect().height < 43.5)
    .map((e) => `${e.tagName} "${(e.getAttribute("aria-label") ?? e.textContent ?? "").trim().slice(0, 40)}" ${Math.round(e.getBoundingClientRect().height)} px`));
  assert.deepEqual(small, [], `touch targets of ${where}`);
}

/** A picture for the eye, where PAGE_SHOTS says. */
export async function shot(page, name, options = {}) {
  const to = process.env.PAGE_SHOTS;
  if (!to) return;
  mkdirSync(to, { recursive: true });
  await page.screenshot({ path: join(to, `${name}.png`), ...options });
}

/** Named steps, one after the other; the first that fails ends the test with a picture of the page. */
export async function steps(stage, page, list) {
  for (const [name, step] of Object.entries(list)) {
    try {
      await step();
      console.log(`ok - ${name}`);
    } catch (error) {
      console.log(`not ok - ${name}`);
      await shot(page, `failed-${name.replace(/\W+/g, "-")}`).catch(() => {});
      console.log(stage.troubles.join("\n"));
      stage.server.kill("SIGTERM");
      await stage.browser.close();
      throw error;
    }
  }
}
