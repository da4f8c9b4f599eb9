/** The faces of the job, each with the folds that lead on from the one that is open. */
import { button, fill, h } from "../dom.js";
import { neighbours } from "./board.js";
import { faceForm } from "./forms.js";
import { materialForm } from "./materialform.js";
import { siteForm } from "./siteform.js";
import { LIE_WORDS, say } from "./terms.js";

/** @typedef {import('./desk.js').Desk} Desk */

/** Where an edge lies, in a word, by the middle of the edge in the box of the outline. @param {import('./types.js').Place[]} edge @param {import('./types.js').Place[]} outline */
export function side(edge, outline) {
  const span = (/** @type {0 | 1} */ i) => [Math.min(...outline.map((p) => p[i])), Math.max(...outline.map((p) => p[i]))];
  const [[left, right], [foot, top]] = [span(0), span(1)];
  const u = (edge[0][0] + edge[1][0]) / 2;
  const v = (edge[0][1] + edge[1][1]) / 2;
  const away = [[u - left, "left"], [right - u, "right"], [v - foot, "foot"], [top - v, "top"]];
  return /** @type {[number, string]} */ (away.sort((a, b) => Number(a[0]) - Number(b[0]))[0])[1];
}
const ARROWS = /** @type {Record<string, string>} */ ({ left: "←", right: "→", foot: "↓", top: "↑" });
/** @param {string} where */
export const arrow = (where) => ARROWS[where] ?? "→";

/** @param {Desk} desk @param {import('./types.js').Face} face */
function folds(desk, face) {
  const rows = neighbours(desk.model.survey.folds, face.id).map((fold) => {
    const where = side(fold.edge, face.outline);
    const go = button(`${arrow(where)} ${fold.to}`, () => desk.openFace(fold.to), { class: "button bare draw-next", "aria-label": `over the fold at the ${where} to face ${fold.to}` });
    const gone = desk.may && button("×", () => void desk.draw(`fold ${face.id}-${fold.to} removed`, () => [{ what: "folds", key: "", after: desk.model.survey.folds.filter((_, i) => i !== fold.index) }]),
      { class: "button bare draw-gone", "aria-label": `remove the fold to face ${fold.to}`, title: "Remove the fold" });
    return h("li", null, go, gone);
  });
  return rows.length ? h("ul", { class: "draw-folds", "aria-label": `folds of face ${face.id}` }, rows) : null;
}

/** @param {HTMLElement} root @param {Desk} desk */
export function faceList(root, desk) {
  const show = () => {
    const focus = root.contains(document.activeElement) ? document.activeElement?.getAttribute("data-face") : null;
    const rows = desk.model.survey.faces.map((face) => {
      const open = face.id === desk.faceId;
      const leaks = desk.model.survey.defects.filter((d) => d.parts.some((p) => p.face === face.id)).length;
      const choose = h("button", { type: "button", class: "draw-face", "data-face": face.id, "aria-current": open ? "true" : null, click: () => desk.openFace(face.id) },
        h("strong", null, face.id), h("span", { class: "draw-face-name" }, face.name || say(LIE_WORDS, face.lie).split(",")[0]),
        h("span", { class: "draw-count", "aria-label": `${leaks} leaks` }, String(leaks)));
      const change = open && desk.may && button("Change", () => faceForm(desk, face), { class: "button bare small", "aria-label": `Change face ${face.id}` });
      return h("li", { class: open ? "open" : null }, choose, open && h("div", { class: "draw-open" }, folds(desk, face), change));
    });
    fill(root, h("div", { class: "draw-faces-head" }, h("h2", { class: "small" }, "Faces"), desk.may && button("New face", () => faceForm(desk, null), { class: "button small", sign: "plus" }), desk.may && button("Site and water", () => siteForm(desk), { class: "button small" }), desk.may && button("Resins and sealants", () => materialForm(desk), { class: "button small" })),
      rows.length ? h("ul", { class: "draw-face-list" }, rows) : h("p", { class: "muted small" }, "No face yet. Make the first, or drop a survey file on the drawing."));
    if (focus) /** @type {HTMLElement | null} */ (root.querySelector(`[data-face="${CSS.escape(focus)}"]`))?.focus();
    root.querySelector("[aria-current]")?.scrollIntoView({ block: "nearest", inline: "nearest" });
  };
  desk.on("face", show);
  desk.on("data", show);
  show();
}
