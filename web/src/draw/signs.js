import { drawSign } from "../dom.js";
/** Our own signs of the tools: one path each on a field of 24 by 24. */

/** @type {Record<string, string>} */
const PATHS = {
  select: "M6 3l12 9-6 1.500L9.500 20z",
  crack: "M4 3l5 5-2 4 6 3-1 3 5 3",
  joint: "M3 8h18M3 16h18M6 12h3M11 12h3M16 12h3",
  tie_hole: "M12 6a6 6 0 1 0 .001 0zM12 11a1 1 0 1 0 .001 0z",
  penetration: "M8 4.500h8l4.500 7.500-4.500 7.500H8L3.500 12zM12 8.500a3.500 3.500 0 1 0 .001 0z",
  honeycomb: "M4 9l5-5 8 1 3 7-4 8-8-1zM9 10v.1M14 9v.1M11 14v.1M15 14v.1",
  station: "M3 18L21 6M12 9a3 3 0 1 0 .001 0z",
  wet: "M3 19L21 7M8 4c2 2.500 3 4 3 5.200a3 3 0 0 1-6 0C5 8 6 6.500 8 4z",
  opening: "M4 4h16v16H4zM8 8h8v12H8z",
  opening_shape: "M4 4h16v16H4zM9 9l6-2 2 7-5 3-4-3z",
  fold: "M3 6l9-3 9 3v12l-9 3-9-3zM12 3v3M12 9v3M12 15v3",
  outline: "M5 5h14v14H5zM3 3h4v4H3zM17 3h4v4h-4zM3 17h4v4H3zM17 17h4v4h-4z",
  undo: "M4 9h11a5 5 0 0 1 0 10H9M8 4L3.500 9 8 14",
  redo: "M20 9H9a5 5 0 0 0 0 10h6M16 4l4.500 5-4.500 5",
  remove: "M5 7h14M9 7V4h6v3M7 7l1 13h8l1-13",
  in: "M12 5v14M5 12h14",
  out: "M5 12h14",
  whole: "M4 9V4h5M15 4h5v5M20 15v5h-5M9 20H4v-5",
  photo: "M3 6h18v13H3zM3 16l5-5 4 4 3-3 6 5M16 9.500v.1",
  import: "M12 3v11M8 10l4 4 4-4M4 17v4h16v-4",
  export: "M12 14V3M8 7l4-4 4 4M4 17v4h16v-4",
};

/** @param {string} name */
export function sign(name) {
  return drawSign(PATHS[name] ?? "");
}
