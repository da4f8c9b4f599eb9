// build.mjs - bundles the page: node build.mjs --out DIR [--clang clang]
//
// DIR/site/      the plain files, to look at
// DIR/assets.c   the table web_assets[] of src/web/assets.h, sorted by path
// DIR/assets.S   its bytes: plain, gzip and brotli of each file (assemble with -I DIR)
// DIR/pack/      what assets.S takes in
//
// The same sources give the same bytes. A part (draw, plan, works, wall, proof ...) is one dynamic import and one style sheet, which
// index.html names in a <meta>, since a script cannot know the hashed name of a style.
import { build } from "esbuild";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const here = dirname(fileURLToPath(import.meta.url));
const parts = ["draw", "plan", "works", "wall", "offer", "rates", "proof", "built"];
const types = {
  html: "text/html; charset=utf-8", js: "text/javascript; charset=utf-8", css: "text/css; charset=utf-8", svg: "image/svg+xml",
  png: "image/png", webmanifest: "application/manifest+json", woff2: "font/woff2", mp3: "audio/mpeg", wav: "audio/wav", wasm: "application/wasm", txt: "text/plain; charset=utf-8",
};
const licences = ["ol", "idb", "rbush", "quickselect", "earcut", "pbf"];

const common = {
  absWorkingDir: here, bundle: true, minify: true, format: "esm", target: ["es2021", "chrome100", "firefox100", "safari15"], legalComments: "none",
  charset: "utf8", metafile: true, write: false, logLevel: "warning", assetNames: "assets/[name]-[hash]", loader: { ".svg": "file", ".png": "file", ".wav": "file", ".wasm": "file" },
  publicPath: "/",
};

/** The mix calculator: the project's C for the browser. It has no C library, so it names the few headers that stand in. */
const calculator = {
  options: ["--target=wasm32", "-std=c17", "-O2", "-ffreestanding", "-nostdlib", "-nostdlibinc", "-ffp-contract=off", "-ffunction-sections", "-Wall", "-Wextra", "-Wconversion",
    "-Wsign-conversion", "-Werror", "-isystem", "web/wasm/include", "-Iweb/wasm", "-Isrc", "-Wl,--no-entry", "-Wl,--gc-sections", "-Wl,-z,stack-size=65536", "-Wl,--strip-all"],
  sources: ["web/wasm/mix.c", "web/wasm/print.c", "src/takeoff/mix.c", "src/takeoff/left.c", "src/core/limits.c", "src/core/units.c"],
};

function option(name) {
  const i = process.argv.indexOf(name);
  return i < 0 ? undefined : process.argv[i + 1];
}

function outDir() {
  const out = option("--out");
  if (!out) throw new Error("node build.mjs --out DIR");
  return resolve(out);
}

/** Compiles web/wasm/mix.c; `import "mix.wasm"` is its address. */
function wasm() {
  const path = join(outDir(), "mix.wasm");
  mkdirSync(outDir(), { recursive: true });
  execFileSync(option("--clang") ?? "clang", [...calculator.options, ...calculator.sources, "-o", path], { cwd: dirname(here), stdio: "inherit" });
  return { name: "wasm", setup: (b) => void b.onResolve({ filter: /^mix\.wasm$/ }, () => ({ path })) };
}

const hash = (bytes) => createHash("sha256").update(bytes).digest("hex").slice(0, 20);

/** Bundles entries; returns files {path: bytes} and esbuild's account of them. */
async function bundle(entries, more) {
  const out = join(here, "out"); // named, never written
  const result = await build({ ...common, entryPoints: entries, outdir: out, ...more });
  const files = new Map(result.outputFiles.map((f) => ["/" + relative(out, f.path).split("\\").join("/"), Buffer.from(f.contents)]));
  const outputs = Object.fromEntries(Object.entries(result.metafile.outputs).map(([k, v]) => ["/" + relative(out, join(here, k)), v]));
  return { files, outputs };
}

/** What a script needs before it runs: itself and its static imports. */
function closure(outputs, path, seen = new Set()) {
  if (seen.has(path)) return seen;
  seen.add(path);
  for (const i of outputs[path]?.imports ?? []) if (["import-statement", "file-loader"].includes(i.kind)) closure(outputs, "/" + relative("out", i.path), seen);
  return seen;
}

const byEntry = (outputs, entry) => Object.keys(outputs).find((p) => outputs[p].entryPoint === entry);

/** Scripts and styles with hashed names, and which part needs which. */
async function assets() {
  const styles = ["style", ...parts.map((p) => `${p}/${p}`)].map((s) => `src/${s}.css`).filter((s) => existsSync(join(here, s)));
  const missing = parts.map((p) => `src/${p}/${p}.js`).filter((p) => !existsSync(join(here, p)));
  if (missing.length) throw new Error(`missing: ${missing.join(", ")}`);
  const js = await bundle(["src/main.js"], { splitting: true, plugins: [wasm()], entryNames: "assets/[name]-[hash]", chunkNames: "assets/[name]-[hash]" });
  const css = await bundle(styles, { entryNames: "assets/[name]-[hash]" });
  const main = byEntry(js.outputs, "src/main.js");
  const shell = closure(js.outputs, main);
  const style = (name) => byEntry(css.outputs, `src/${name}.css`);
  const need = { shell: ["/", style("style"), ...shell, "/icon.svg", "/icon-192.png", "/manifest.webmanifest"] };
  for (const p of parts) {
    const code = [...closure(js.outputs, byEntry(js.outputs, `src/${p}/${p}.js`))].filter((f) => !shell.has(f));
    need[p] = [...code, style(`${p}/${p}`)].filter(Boolean);
  }
  return { files: new Map([...js.files, ...css.files]), main, shell, need, style };
}

function indexHtml(a) {
  const lines = [`<link rel="stylesheet" href="${a.style("style")}">`, `<script type="module" src="${a.main}"></script>`];
  for (const f of a.shell) if (f !== a.main) lines.push(`<link rel="modulepreload" href="${f}">`);
  for (const p of parts) if (a.style(`${p}/${p}`)) lines.push(`<meta name="style-${p}" content="${a.style(`${p}/${p}`)}">`);
  return Buffer.from(readFileSync(join(here, "index.html"), "utf8").replace("<!--build-->", lines.join("\n")));
}

async function serviceWorker(need, id) {
  const entry = "src/sw.js";
  if (!existsSync(join(here, entry))) return null;
  const sw = await bundle([entry], { format: "iife", entryNames: "[name]", define: { BUILD_FILES: JSON.stringify(need), BUILD_ID: JSON.stringify(id) } });
  return sw.files.get("/sw.js");
}

function licenceText() {
  const texts = [];
  for (const name of licences) {
    const folder = join(here, "node_modules", name);
    const file = ["LICENSE", "LICENSE.md", "LICENSE.txt"].map((f) => join(folder, f)).find((f) => existsSync(f));
    if (file) texts.push(`${name} ${JSON.parse(readFileSync(join(folder, "package.json"), "utf8")).version}\n\n${readFileSync(file, "utf8").trim()}\n`);
  }
  return Buffer.from(texts.join("\n----\n\n"));
}

/** All files of the site, by address. */
async function site() {
  const a = await assets();
  const files = a.files;
  files.set("/index.html", indexHtml(a));
  for (const f of ["icon.svg", "icon-192.png", "icon-512.png", "manifest.webmanifest"]) files.set("/" + f, readFileSync(join(here, f)));
  files.set("/licences.txt", licenceText());
  const id = hash(Buffer.from([...files].sort().map(([p, b]) => p + hash(b)).join("\n")));
  const sw = await serviceWorker(a.need, id);
  if (sw) files.set("/sw.js", sw);
  return { files: new Map([...files].sort(([p], [q]) => (p < q ? -1 : 1))), need: a.need };
}

const brotli = (bytes) => brotliCompressSync(bytes, { params: { [constants.BROTLI_PARAM_QUALITY]: 11, [constants.BROTLI_PARAM_LGWIN]: 22, [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length } });

/** gzip without time and system in its head, so that bytes are the same everywhere. */
function gzip(bytes) {
  const out = gzipSync(bytes, { level: 9 });
  out.fill(0, 4, 8);
  out[9] = 255;
  return out;
}

function write(path, bytes) {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, bytes);
}

/** One file: its bytes into DIR/pack, its row and its labels. A packed form that saves nothing is left out. */
function pack(dir, path, bytes, n) {
  const type = types[path.slice(path.lastIndexOf(".") + 1)] ?? "application/octet-stream";
  const forms = { plain: bytes, gzip: gzip(bytes), brotli: brotli(bytes) };
  const row = { path, type, etag: hash(bytes), immutable: path.startsWith("/assets/"), n, sizes: {} };
  for (const [form, b] of Object.entries(forms)) {
    const kept = form === "plain" || b.length < bytes.length * 0.95;
    row.sizes[form] = kept ? b.length : 0;
    if (kept) write(join(dir, "pack", `${n}.${form}`), b);
  }
  return row;
}

function assemblerOf(rows) {
  const out = ["/* Made by web/build.mjs. */", "    .section .rodata"];
  for (const r of rows)
    for (const form of ["plain", "gzip", "brotli"])
      if (r.sizes[form] || form === "plain") out.push(`    .balign 16`, `    .hidden web_asset_${r.n}_${form}`, `    .globl web_asset_${r.n}_${form}`, `web_asset_${r.n}_${form}:`, `    .incbin "pack/${r.n}.${form}"`);
  return out.join("\n") + '\n    .section .note.GNU-stack, "", %progbits\n';
}

function tableOf(rows) {
  const bytes = (r, form) => (r.sizes[form] || form === "plain" ? `web_asset_${r.n}_${form}` : "NULL");
  const names = rows.flatMap((r) => ["plain", "gzip", "brotli"].filter((f) => bytes(r, f) !== "NULL").map((f) => bytes(r, f) + "[]"));
  const row = (r) => `    {"${r.path}", "${r.type}", "\\"${r.etag}\\"", ${r.immutable}, ${bytes(r, "plain")}, ${bytes(r, "gzip")}, ${bytes(r, "brotli")}, ${r.sizes.plain}, ${r.sizes.gzip}, ${r.sizes.brotli}},`;
  return ["/* Made by web/build.mjs: the files of the page, sorted by path. */", '#include "web/assets.h"', "", "extern const unsigned char", "    " + names.join(",\n    ") + ";", "",
    "const web_asset web_assets[] = {", ...rows.map(row), "};", `const size_t web_assets_n = ${rows.length};`, ""].join("\n");
}

const dir = outDir();
for (const old of ["site", "pack"]) rmSync(join(dir, old), { recursive: true, force: true });
const { files, need } = await site();
const rows = [...files].map(([path, bytes], n) => pack(dir, path, bytes, n));
for (const [path, bytes] of files) write(join(dir, "site", path), bytes);
write(join(dir, "assets.c"), tableOf(rows));
write(join(dir, "assets.S"), assemblerOf(rows));

const size = (paths) => paths.reduce((sum, p) => sum + (rows.find((r) => r.path === (p === "/" ? "/index.html" : p))?.sizes.brotli || 0), 0);
const words = Object.entries(need).map(([part, paths]) => `${part} ${(size(paths) / 1024).toFixed(1)} kB`);
console.log(`${rows.length} files; compressed: ${words.join(", ")}`);
