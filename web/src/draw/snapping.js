/** Snapping: to outlines, folds, ends and points of other leaks, and where none is near to the grid. */
import Feature from "ol/Feature.js";
import MultiPoint from "ol/geom/MultiPoint.js";
import Interaction from "ol/interaction/Interaction.js";
import Snap from "ol/interaction/Snap.js";
import VectorSource from "ol/source/Vector.js";

const TOLERANCE_PX = 12;

/** Keeps a source of what is snapped to. @param {import('./board.js').Board} board @param {import('./desk.js').Desk} desk */
export function snapSource(board, desk) {
  const source = new VectorSource();
  return {
    source,
    fill() {
      source.clear();
      source.addFeatures([...board.faceSource.getFeatures(), ...board.foldSource.getFeatures()].map((f) => new Feature(f.getGeometry())));
      const points = desk.leaks.flatMap((d) => (d.mark === desk.mark ? [] : d.parts.filter((p) => p.face === desk.faceId).flatMap((p) => p.points)));
      if (points.length) source.addFeature(new Feature(new MultiPoint(points)));
    },
  };
}

/** @param {VectorSource} source */
export function snapTo(source) {
  return new Snap({ source, pixelTolerance: TOLERANCE_PX });
}

/** Runs after Snap, so it is added before it: the library asks the last one first. @param {() => number} step 0: off */
export function gridSnap(step) {
  return new Interaction({
    handleEvent(event) {
      const every = step();
      if (!(every > 0) || !("pixel" in event) || event.type === "wheel") return true;
      const raw = event.map.getEventCoordinate(/** @type {MouseEvent} */ (event.originalEvent));
      const [u, v] = event.coordinate;
      const near = (event.map.getView().getResolution() ?? 1) * 0.01;
      if (Math.abs(raw[0] - u) > near || Math.abs(raw[1] - v) > near) return true; /* snapped already */
      event.coordinate = [Math.round(u / every) * every, Math.round(v / every) * every];
      event.pixel = event.map.getPixelFromCoordinate(event.coordinate);
      return true;
    },
  });
}
