/** The form of resins and sealants: what the choice of method asks of them. All else of a material is imported. */
import { field, h } from "../dom.js";
import { openForm, picker } from "./dialog.js";
import { withMember } from "./edits.js";
import { number, typed } from "./forms.js";
import { RESIN_WORDS } from "./terms.js";

/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./types.js').Material} Material */

/** @param {Material} m @returns {{node: Node, read: () => Material}} */
function piece(m) {
  const name = m.name ?? m.id;
  if (m.role === "resin") {
    const family = picker(RESIN_WORDS, m.resin ?? "none");
    return { node: field(`${name}: family`, family), read: () => (family.value === (m.resin ?? "none") ? m : { ...m, resin: family.value }) };
  }
  const percent = number(m.movement_percent);
  return { node: field(`${name}: movement class, % of the joint's width`, percent), read: () => withMember(m, "movement_percent", typed(percent, `${name}, movement class`, false)) };
}

/** @param {Desk} desk */
export function materialForm(desk) {
  const materials = desk.model.survey.materials.filter((m) => m.role === "resin" || m.role === "sealant");
  if (!materials.length) return void desk.ctx.say("This job has no resin and no sealant: import them first.");
  const parts = materials.map(piece);
  openForm("Resins and sealants", [h("p", { class: "hint" }, "As the makers' data sheets say."), h("div", { class: "stack" }, parts.map((p) => p.node))], "Save", async () => {
    const after = parts.map((p) => p.read());
    return (await desk.change("resins and sealants", () => after.map((m) => ({ what: "material", key: m.id, after: m })))).fault;
  });
  return undefined;
}
