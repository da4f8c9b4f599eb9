/** Gestures of our own along a line: drag a station, drag out the wet stretch, drag its grips. */
import PointerInteraction from "ol/interaction/Pointer.js";
import Point from "ol/geom/Point.js";
import { isLine } from "./terms.js";
import { moveStation, wetStretch } from "./edits.js";
import { beginnings, chainageOf } from "./trace.js";
import { tidy } from "./number.js";

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./over.js').Over} Over */

/** How near a finger or a pointer must be, px. @param {any} event */
export const reachPx = (event) => (event.originalEvent?.pointerType === "touch" ? 22 : 12);

/** The feature above of one sort that lies nearest to an event. @param {Board} board @param {any} event @param {string} what */
function nearest(board, event, what) {
  let best = null;
  let least = board.span(reachPx(event));
  for (const feature of board.overSource.getFeatures()) {
    if (feature.get("what") !== what) continue;
    const at = /** @type {Point} */ (feature.getGeometry()).getCoordinates();
    const away = Math.hypot(at[0] - event.coordinate[0], at[1] - event.coordinate[1]);
    if (away <= least) [best, least] = [feature, away];
  }
  return best;
}

/** A station dragged along its line. @param {Board} board @param {Desk} desk */
export function stationDrag(board, desk) {
  /** @type {{feature: any, chainage: number, moved: boolean} | null} */
  let drag = null;
  return new PointerInteraction({
    handleDownEvent(event) {
      const feature = desk.defect ? nearest(board, event, "station") : null;
      drag = feature ? { feature, chainage: 0, moved: false } : null;
      if (feature) desk.take({ type: "station", index: feature.get("index") });
      return drag !== null;
    },
    handleDragEvent(event) {
      const defect = desk.defect;
      if (!drag || !defect || !desk.may) return;
      drag.chainage = chainageOf(defect, desk.faceId, event.coordinate).chainage;
      drag.moved = true;
      drag.feature.set("note", String(tidy(drag.chainage)), true);
      const at = desk.placeAt(defect, drag.chainage);
      if (at) drag.feature.setGeometry(new Point(at));
    },
    handleUpEvent() {
      const done = drag;
      drag = null;
      if (!done?.moved) return false;
      const index = done.feature.get("index");
      void desk.draw(`station of ${desk.mark} moved`, desk.editing(desk.mark, (d) => moveStation(d, index, done.chainage, desk.units)));
      return false;
    },
  });
}

/** Sets a stretch and keeps its grips. @param {Desk} desk @param {Over} over @param {import('./over.js').Stretch} stretch */
export function wetten(desk, over, stretch) {
  over.stretch = stretch;
  const wetness = desk.options.wetness;
  return desk.draw(`wet stretch of ${stretch.mark}: ${wetness}`, desk.editing(stretch.mark, (now) =>
    ({ ...now, ...stations(wetStretch({ ...now, stations: stretch.base.stations }, stretch.from, stretch.to, wetness, desk.units)) })));
}

/** @param {import('./types.js').Defect} defect */
const stations = (defect) => ({ stations: defect.stations ?? [] });

/**
 * Press on the line and drag along it; or drag one of the two grips of the stretch that stands.
 * @param {Board} board @param {Desk} desk @param {Over} over
 */
export function wetDrag(board, desk, over) {
  /** @type {{end: "from" | "to"} | null} */
  let drag = null;
  const begin = (/** @type {any} */ event) => {
    const defect = desk.defect;
    if (!defect || !isLine(defect.kind) || !desk.may) return false;
    const grip = over.stretch?.mark === defect.mark ? nearest(board, event, "grip") : null;
    if (grip) return ((drag = { end: grip.get("end") }), true);
    const near = chainageOf(defect, desk.faceId, event.coordinate);
    if (!(near.away <= board.span(reachPx(event)))) return false;
    over.stretch = { mark: defect.mark, base: defect, from: near.chainage, to: near.chainage };
    drag = { end: "to" };
    return true;
  };
  return new PointerInteraction({
    handleDownEvent: begin,
    handleDragEvent(event) {
      const defect = desk.defect;
      if (!drag || !defect || !over.stretch) return;
      const whole = beginnings(defect)[defect.parts.length];
      const { chainage } = chainageOf(defect, desk.faceId, event.coordinate);
      over.stretch = { ...over.stretch, [drag.end]: Math.min(tidy(chainage), whole) };
      over.show();
    },
    handleUpEvent() {
      const stretch = over.stretch;
      drag = null;
      if (stretch && Math.abs(stretch.to - stretch.from) > board.span(4)) void wetten(desk, over, stretch);
      else over.stretch = null;
      return false;
    },
  });
}
