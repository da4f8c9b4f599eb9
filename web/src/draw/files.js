/** Files in and out: dropped on the drawing or chosen, and given out in the four forms of the command line. */
import { Fault } from "../api.js";
import { h } from "../dom.js";
import { sign } from "./signs.js";

/** @typedef {import('./desk.js').Desk} Desk */

const READ = /\.(json|geojson|csv|epw)$/i;
/** @type {[string, string][]} */
const FORMS = [["json", "JSON, the whole job"], ["csv", "CSV, the leaks"], ["geojson", "GeoJSON, faces and leaks"], ["dxf", "DXF, the drawing"], ["gauges", "CSV, the readings of gauges"]];

/** @param {Desk} desk @param {Iterable<File>} files */
export async function importFiles(desk, files) {
  for (const file of files) {
    if (!READ.test(file.name)) {
      desk.ctx.fail(new Fault(415, `${file.name}: what comes in is a .json, .geojson, .csv or .epw file.`));
      continue;
    }
    try {
      const got = await desk.model.importFile(file);
      desk.ctx.say(`${file.name}: ${got.faces} faces, ${got.defects} leaks, ${got.stations} stations, ${got.flows} flow readings, ${got.readings} gauge readings.`);
    } catch (error) {
      desk.ctx.fail(error);
    }
  }
}

/** @param {HTMLElement} root @param {Desk} desk */
export function dropping(root, desk) {
  const { signal } = desk.ctx;
  const over = (/** @type {boolean} */ on) => root.classList.toggle("draw-over", on);
  root.addEventListener("dragover", (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    over(true);
  }, { signal });
  root.addEventListener("dragleave", (event) => {
    if (!(event.relatedTarget instanceof Node) || !root.contains(event.relatedTarget)) over(false);
  }, { signal });
  root.addEventListener("drop", (event) => {
    event.preventDefault();
    over(false);
    if (desk.may && event.dataTransfer?.files.length) void importFiles(desk, [...event.dataTransfer.files]);
  }, { signal });
}

/** @param {Desk} desk @param {import('./wire.js').Wire} wire @param {() => void} photo */
export function fileBar(desk, wire, photo) {
  const file = h("input", { type: "file", accept: ".json,.geojson,.csv,.epw", multiple: true, class: "unseen", tabindex: -1, "aria-hidden": "true" });
  file.addEventListener("change", () => {
    void importFiles(desk, [...(file.files ?? [])]);
    file.value = "";
  });
  const tool = (/** @type {string} */ name, /** @type {string} */ words, /** @type {() => void} */ click) =>
    h("button", { type: "button", class: "draw-tool", "data-act": name, click }, sign(name), h("span", null, words));
  const list = h("div", { class: "draw-menu", hidden: true }, FORMS.map(([as, words]) => h("a", { href: wire.exported(as), download: as === "gauges" ? `${desk.ctx.job}-gauges.csv` : `${desk.ctx.job}.${as}`, "data-export": as }, words)));
  const give = tool("export", "Export", () => open(list.hidden));
  give.setAttribute("aria-expanded", "false");
  const open = (/** @type {boolean} */ on) => {
    list.hidden = !on;
    give.setAttribute("aria-expanded", String(on));
    if (!on) return;
    const at = give.getBoundingClientRect();
    list.style.setProperty("--left", `${Math.min(at.left, innerWidth - 250)}px`);
    list.style.setProperty("--top", `${at.bottom + 4}px`);
  };
  const box = h("div", { class: "draw-group", role: "group", "aria-label": "files" }, desk.may && tool("photo", "Photo under", photo), desk.may && tool("import", "Import", () => file.click()), file, give, list);
  box.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || list.hidden) return;
    open(false);
    give.focus();
  });
  box.addEventListener("focusout", (event) => {
    if (!(event.relatedTarget instanceof Node) || !box.contains(event.relatedTarget)) setTimeout(() => open(false), 150);
  });
  return box;
}
