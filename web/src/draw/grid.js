/** The grid, drawn straight onto a canvas: lines of a step, finer ones left out when they would crowd. */
import Layer from "ol/layer/Layer.js";

const LEAST_PX = 9;

/** @param {CanvasRenderingContext2D} pen @param {any} frame @param {number} step */
function rule(pen, frame, step) {
  const { center, resolution } = frame.viewState;
  const [width, height] = frame.size;
  const left = center[0] - (width / 2) * resolution;
  const top = center[1] + (height / 2) * resolution;
  pen.beginPath();
  for (let i = Math.ceil(left / step); i * step < left + width * resolution; i++) {
    const x = Math.round((i * step - left) / resolution) + 0.5;
    pen.moveTo(x, 0);
    pen.lineTo(x, height);
  }
  for (let i = Math.floor(top / step); i * step > top - height * resolution; i--) {
    const y = Math.round((top - i * step) / resolution) + 0.5;
    pen.moveTo(0, y);
    pen.lineTo(width, y);
  }
  pen.stroke();
}

/** @param {() => number} step 0: none @param {() => string} colour */
export function gridLayer(step, colour) {
  const canvas = document.createElement("canvas");
  const box = document.createElement("div"); /* a bare canvas would be taken over by the layer above */
  box.className = "draw-grid";
  box.appendChild(canvas);
  return new Layer({
    render(frame) {
      const ratio = frame.pixelRatio;
      const [width, height] = frame.size;
      if (canvas.width !== width * ratio || canvas.height !== height * ratio) {
        canvas.width = width * ratio;
        canvas.height = height * ratio;
      }
      const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
      pen.setTransform(ratio, 0, 0, ratio, 0, 0);
      pen.clearRect(0, 0, width, height);
      let every = step();
      if (!(every > 0)) return box;
      while (every / frame.viewState.resolution < LEAST_PX) every *= 5;
      pen.strokeStyle = colour();
      pen.lineWidth = 1;
      rule(pen, frame, every);
      return box;
    },
  });
}
