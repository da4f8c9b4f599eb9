/**
 * What the drawing and the sheet both show: the face, the chosen leak, the chosen point or station, the tool.
 * One place holds it, so that the two are always in step; whoever changes it tells all.
 */
import { Fault } from "../api.js";
import { placeAt } from "./trace.js";
import { unitsOf } from "./units.js";

/** @typedef {import('./types.js').Handle} Handle */
/** @typedef {import('./types.js').Change} Change */
/** @typedef {'face' | 'select' | 'handle' | 'tool' | 'options' | 'data'} Topic */

export class Desk {
  /** @param {import('./model.js').Model} model @param {import('../types.js').Ctx} ctx @param {boolean} may */
  constructor(model, ctx, may) {
    this.model = model;
    this.ctx = ctx;
    /** May this person change the survey? */
    this.may = may;
    this.units = unitsOf(ctx.units);
    this.faceId = "";
    this.mark = "";
    /** @type {Handle | null} */
    this.handle = null;
    this.tool = "select";
    this.options = { wetness: "drip", diameter: "", snap: true, grid: false, step: 0.1, freehand: false, opacity: 0.7 };
    /** @type {Map<Topic, Set<() => void>>} */
    this.listeners = new Map();
    model.on(() => this.heard());
  }

  /** @param {Topic} topic @param {() => void} heard */
  on(topic, heard) {
    if (!this.listeners.has(topic)) this.listeners.set(topic, new Set());
    this.listeners.get(topic)?.add(heard);
  }

  /** @param {Topic} topic */
  tell(topic) {
    for (const heard of this.listeners.get(topic) ?? []) heard();
  }

  get face() {
    return this.model.face(this.faceId);
  }

  get defect() {
    return this.mark ? this.model.defect(this.mark) : null;
  }

  /** Leaks with a part on the face. */
  get leaks() {
    return this.model.survey.defects.filter((d) => d.parts.some((p) => p.face === this.faceId));
  }

  /** The survey changed: what is chosen may be gone. */
  heard() {
    this.units = unitsOf(this.model.survey.units);
    if (!this.face) this.faceId = this.model.survey.faces[0]?.id ?? "";
    if (this.mark && !this.defect) this.mark = "";
    if (!this.holds(this.handle)) this.handle = null;
    this.tell("data");
  }

  /** @param {Handle | null} handle */
  holds(handle) {
    if (!handle) return true;
    const d = this.defect;
    if (handle.type === "station") return (d?.stations?.length ?? 0) > handle.index;
    return (d?.parts[handle.part]?.points.length ?? 0) > handle.index;
  }

  /** @param {string} id */
  openFace(id) {
    if (id === this.faceId || !this.model.face(id)) return;
    this.faceId = id;
    const stays = this.defect?.parts.some((p) => p.face === id);
    if (!stays) this.mark = "";
    this.handle = null;
    this.tell("face");
    this.tell("select");
  }

  /** @param {string} mark "" for none */
  select(mark) {
    if (mark === this.mark) return;
    this.mark = this.model.defect(mark) ? mark : "";
    this.handle = null;
    const d = this.defect;
    if (d && !d.parts.some((p) => p.face === this.faceId)) {
      this.faceId = d.parts[0].face;
      this.tell("face");
    }
    this.tell("select");
  }

  /** @param {Handle | null} handle */
  take(handle) {
    if (JSON.stringify(handle) === JSON.stringify(this.handle) || !this.holds(handle)) return;
    this.handle = handle;
    this.tell("handle");
  }

  /** @param {string} tool */
  use(tool) {
    this.tool = tool;
    this.tell("tool");
  }

  /** @param {Partial<Desk['options']>} options */
  set(options) {
    Object.assign(this.options, options);
    this.tell("options");
  }

  /**
   * One step. What is refused is told and nothing stays of it: both views are drawn again from the survey.
   * @param {string} words @param {() => Change[] | null} make
   * @returns {Promise<{ok: boolean, fault: string}>}
   */
  async change(words, make) {
    try {
      return { ok: await this.model.change(words, make), fault: "" };
    } catch (error) {
      if (!(error instanceof Fault)) console.error(error);
      this.tell("data");
      const fault = error instanceof Error ? error.message : String(error);
      return { ok: false, fault: error instanceof Fault && error.faults.length > 1 ? error.faults.join(" ") : fault };
    }
  }

  /** As `change`, for what was drawn: a fault goes to the edge of the page. @param {string} words @param {() => Change[] | null} make */
  async draw(words, make) {
    const answer = await this.change(words, make);
    if (answer.fault) this.ctx.fail(new Fault(422, answer.fault));
    return answer.ok;
  }

  /**
   * The change of one leak, for `change` and `draw`; a new mark is the old one gone and the new one there.
   * @param {string} mark @param {(defect: import('./types.js').Defect) => import('./types.js').Defect | null} edit
   * @returns {() => Change[] | null}
   */
  editing(mark, edit) {
    return () => {
      const defect = this.model.defect(mark);
      if (!defect) return null;
      const after = edit(defect);
      if (!after || after.mark === mark) return [{ what: "defect", key: mark, after }];
      return [{ what: "defect", key: mark, after: null }, { what: "defect", key: after.mark, after }];
    };
  }

  /** Place of a chainage when it lies on the face on the desk. @param {import('./types.js').Defect} defect @param {number} chainage */
  placeAt(defect, chainage) {
    const place = placeAt(defect, chainage);
    return defect.parts[place.part].face === this.faceId ? place.at : null;
  }

  /** @param {"undo" | "redo"} way */
  async back(way) {
    try {
      const step = await this.model[way]();
      if (!step) return this.ctx.say(way === "undo" ? "Nothing to undo." : "Nothing to redo.");
      this.ctx.say(way === "undo" ? `Undone: ${step.words}` : `Done again: ${step.words}`);
    } catch (error) {
      this.ctx.fail(error);
    }
  }
}
