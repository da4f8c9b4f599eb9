/** A line carried on from its end: on its face, or over the fold that it ends at. */
import { button } from "../dom.js";
import { neighbours } from "./board.js";
import { isLine } from "./terms.js";
import { overFold } from "./trace.js";
import { tidyPlace } from "./number.js";

const NEAR = 0.02; /* units: an end this near to a fold has come to it; the server measures exactly */

/** @param {import('./desk.js').Desk} desk @param {import('./tools.js').Tools} tools @param {import('./types.js').Defect} defect */
export function carryButtons(desk, tools, defect) {
  if (!isLine(defect.kind)) return [];
  const part = defect.parts.length - 1;
  const { face, points } = defect.parts[part];
  const end = points[points.length - 1];
  const { mark } = defect;
  const over = neighbours(desk.model.survey.folds, face).flatMap((fold) => {
    const { away, at } = overFold(fold.edge, fold.other, end);
    if (!(away <= NEAR)) return [];
    return [button(`Carry on over the fold to ${fold.to}`, () => tools.carryOn({ mark, part: part + 1, start: tidyPlace(at), fresh: true, face: fold.to }), { "data-carry": fold.to })];
  });
  return [button("Carry on from the end", () => tools.carryOn({ mark, part, start: end, fresh: false, face }), { "data-carry": "" }), ...over];
}
