/**
 * The drawing: one face to scale on a flat plane in the document's units, u to the right, v up. Layers from the
 * bottom: concrete, the photo laid under, grid, outline with openings and folds, the leaks, what is chosen.
 *
 * All leaks are one layer drawn as an image: while the face is dragged only that image moves, so that 500 leaks
 * cost what one does. What is chosen lies above it as plain vectors.
 */
import Feature from "ol/Feature.js";
import Map from "ol/Map.js";
import View from "ol/View.js";
import { boundingExtent, buffer, getCenter } from "ol/extent.js";
import LineString from "ol/geom/LineString.js";
import MultiLineString from "ol/geom/MultiLineString.js";
import Polygon from "ol/geom/Polygon.js";
import { defaults as defaultInteractions } from "ol/interaction/defaults.js";
import ImageLayer from "ol/layer/Image.js";
import VectorLayer from "ol/layer/Vector.js";
import VectorImageLayer from "ol/layer/VectorImage.js";
import Projection from "ol/proj/Projection.js";
import ImageStatic from "ol/source/ImageStatic.js";
import VectorSource from "ol/source/Vector.js";
import Style from "ol/style/Style.js";
import { gridLayer } from "./grid.js";
import { makeInks } from "./inks.js";
import { leakFeatures, leakStyle } from "./leakstyle.js";

/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./types.js').Face} Face */
/** @typedef {import('./types.js').Place} Place */

const FINEST = 0.0003; /* units a pixel: thirty times a hair crack a pixel is enough for a finger */
const COARSEST = 100;
const RATIO = 1.8; /* how much more than the window the image of the leaks covers */

/** The ring closed, as the library has it. @param {Place[]} ring */
const closed = (ring) => [...ring, ring[0]];

export class Board {
  /** @param {HTMLElement} element @param {Desk} desk @param {import('./wire.js').Wire} wire */
  constructor(element, desk, wire) {
    this.element = element;
    this.desk = desk;
    this.wire = wire;
    this.inks = makeInks(element);
    this.projection = new Projection({ code: "face", units: "m" });
    this.faceSource = new VectorSource();
    this.foldSource = new VectorSource();
    this.leakSource = new VectorSource();
    this.overSource = new VectorSource();
    this.photo = new ImageLayer({ opacity: desk.options.opacity });
    this.grid = gridLayer(() => (desk.options.grid ? desk.options.step : 0), () => this.inks.c.grid);
    this.over = new VectorLayer({ source: this.overSource, updateWhileInteracting: true, updateWhileAnimating: true });
    this.leaks = new VectorImageLayer({
      source: this.leakSource, imageRatio: RATIO, declutter: true,
      style: leakStyle(() => this.inks, () => desk.units.length),
    });
    this.lines = new VectorLayer({ source: this.faceSource, style: (feature) => this.lineStyle(feature) });
    const folds = new VectorLayer({ source: this.foldSource, style: () => this.inks.fold });
    const concrete = new VectorLayer({ source: this.faceSource, style: (f) => (f.get("what") === "outline" ? this.inks.concrete : undefined) });
    this.map = this.makeMap(element, [concrete, this.photo, this.grid, this.lines, folds, this.leaks, this.over]);
    /** @type {{resolution: number | undefined, center: string} | null} the view as the whole face was last shown */
    this.whole = null;
    /** @type {string} face whose picture is shown */
    this.pictured = "";
  }

  /** @param {HTMLElement} target @param {any[]} layers */
  makeMap(target, layers) {
    const view = new View({
      projection: this.projection, center: [0, 0], resolution: 0.01, minResolution: FINEST, maxResolution: COARSEST,
      constrainResolution: false, enableRotation: false,
    });
    const interactions = defaultInteractions({ altShiftDragRotate: false, pinchRotate: false, doubleClickZoom: false, shiftDragZoom: false, keyboard: false });
    return new Map({ target, layers, view, controls: [], interactions, moveTolerance: 4 });
  }

  get view() {
    return this.map.getView();
  }

  /** @param {any} feature */
  lineStyle(feature) {
    const geometry = feature.getGeometry();
    if (feature.get("what") !== "opening") return this.inks.outline;
    const ring = geometry.getCoordinates()[0];
    const [low, high] = [geometry.getExtent().slice(0, 2), geometry.getExtent().slice(2)];
    const cross = new MultiLineString(ring.length === 5
      ? [[ring[0], ring[2]], [ring[1], ring[3]]] : [[low, high]]);
    const styles = [this.inks.opening];
    if (ring.length === 5) styles.push(new Style({ geometry: cross, stroke: this.inks.cross }));
    return styles;
  }

  /** Outline, openings and folds of the face on the desk. */
  showFace() {
    const face = this.desk.face;
    this.faceSource.clear();
    this.foldSource.clear();
    if (!face) return;
    const rings = [face.outline, ...(face.openings ?? [])];
    const outline = new Feature({ geometry: new Polygon(rings.map(closed)), what: "outline" });
    this.faceSource.addFeature(outline);
    (face.openings ?? []).forEach((ring, index) => {
      this.faceSource.addFeature(new Feature({ geometry: new Polygon([closed(ring)]), what: "opening", index }));
    });
    for (const fold of neighbours(this.desk.model.survey.folds, face.id))
      this.foldSource.addFeature(new Feature({ geometry: new LineString(fold.edge), to: fold.to }));
  }

  /** The leaks of the face; only those that changed are made anew. */
  showLeaks() {
    const wanted = this.desk.leaks;
    const keep = new Set(wanted);
    const kept = new Set();
    for (const feature of this.leakSource.getFeatures()) {
      const defect = feature.get("defect");
      if (keep.has(defect) && feature.get("face") === this.desk.faceId) kept.add(defect);
      else this.leakSource.removeFeature(feature);
    }
    const fresh = wanted.filter((d) => !kept.has(d)).flatMap((d) => leakFeatures(d, this.desk.faceId));
    for (const feature of fresh) feature.set("face", this.desk.faceId, true);
    this.leakSource.addFeatures(fresh);
  }

  /** The whole face in the window. @param {number} [duration] */
  fit(duration = 0) {
    const face = this.desk.face;
    this.map.updateSize();
    const size = this.map.getSize();
    if (!face || !size?.[0] || !size[1]) return;
    const extent = boundingExtent(face.outline);
    const room = Math.max(extent[2] - extent[0], extent[3] - extent[1]) * 0.02;
    const narrow = size[0] < 600;
    this.view.fit(buffer(extent, room), { padding: narrow ? [46, 58, 56, 58] : [56, 72, 80, 72], duration });
    this.whole = duration ? null : { resolution: this.view.getResolution(), center: String(this.view.getCenter()) };
  }

  /** The window has another size: a face that was shown whole is shown whole again. */
  resized() {
    const whole = this.whole && this.view.getResolution() === this.whole.resolution && String(this.view.getCenter()) === this.whole.center;
    this.map.updateSize();
    if (whole) this.fit();
  }

  /** @param {number} factor above 1: nearer */
  zoom(factor) {
    this.view.animate({ resolution: (this.view.getResolution() ?? 1) / factor, duration: calm() ? 0 : 150 });
  }

  /** @param {number} right share of the window @param {number} up */
  pan(right, up) {
    const [width, height] = this.map.getSize() ?? [1, 1];
    const resolution = this.view.getResolution() ?? 1;
    const [u, v] = this.view.getCenter() ?? [0, 0];
    this.view.animate({ center: [u + right * width * resolution, v + up * height * resolution], duration: calm() ? 0 : 120 });
  }

  /** The picture laid under the face, if there is one. @param {boolean} [again] */
  async showPhoto(again = false) {
    const face = this.desk.face;
    if (!face || (!again && this.pictured === face.id)) return;
    this.pictured = face.id;
    this.photo.setSource(null);
    if (!this.desk.model.underlays.has(face.id)) return this.element.dispatchEvent(new CustomEvent("photo"));
    const url = `${this.wire.picture(face.id)}?r=${this.desk.model.revision}`;
    const answer = await fetch(url, { signal: this.desk.ctx.signal }).catch(() => null);
    if (!answer?.ok || this.pictured !== face.id) return this.element.dispatchEvent(new CustomEvent("photo"));
    this.photo.setSource(new ImageStatic({ url, imageExtent: boundingExtent(face.outline), projection: this.projection }));
    return this.element.dispatchEvent(new CustomEvent("photo"));
  }

  get hasPhoto() {
    return this.photo.getSource() !== null;
  }

  /** Colours again, after a change of theme. */
  restyle() {
    this.inks = makeInks(this.element);
    this.faceSource.changed();
    this.foldSource.changed();
    this.leakSource.changed();
    this.overSource.changed();
    this.grid.changed();
  }

  /** Units of the face that so many pixels are. @param {number} px */
  span(px) {
    return px * (this.view.getResolution() ?? 1);
  }

  /** Centre of the window, as a place for a point set by keyboard. */
  get middle() {
    return this.view.getCenter() ?? getCenter([0, 0, 0, 0]);
  }

  close() {
    this.map.setTarget(undefined);
    this.map.dispose();
  }
}

const calm = () => matchMedia("(prefers-reduced-motion: reduce)").matches;

/**
 * Folds of one face: its own edge, the face beyond and the edge there.
 * @param {import('./types.js').Fold[]} folds @param {string} face
 */
export function neighbours(folds, face) {
  return folds.flatMap((fold, index) => {
    const out = [];
    if (fold.a[0] === face) out.push({ index, edge: fold.a[1], to: fold.b[0], other: fold.b[1] });
    if (fold.b[0] === face) out.push({ index, edge: fold.b[1], to: fold.a[0], other: fold.a[1] });
    return out;
  });
}
