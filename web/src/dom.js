// dom.js - making elements. Data goes in as text, never as markup.

/** @typedef {Node|string|number|null|undefined|false} Child */

/**
 * One element. `attributes`: `class`, `data-*`, `aria-*` and so on as they are written in HTML; a function is a
 * listener (`click: f`); true is an empty attribute; false, null and undefined leave it out; `value` and
 * `checked` are set as properties.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Record<string, any>|null} [attributes]
 * @param {...(Child|Child[])} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function h(tag, attributes, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes ?? {})) setOne(element, name, value);
  append(element, children);
  return element;
}

/** @param {HTMLElement} element @param {string} name @param {any} value */
function setOne(element, name, value) {
  if (value === false || value === null || value === undefined) return;
  if (typeof value === "function") element.addEventListener(name, value);
  else if (name === "value" || name === "checked") /** @type {any} */ (element)[name] = value;
  else element.setAttribute(name, value === true ? "" : String(value));
}

/** @param {Node} parent @param {(Child|Child[])[]} children */
export function append(parent, children) {
  for (const child of children.flat()) {
    if (child === null || child === undefined || child === false) continue;
    parent.appendChild(child instanceof Node ? child : document.createTextNode(String(child)));
  }
}

/** Empties `parent`, then fills it. @param {Node} parent @param {...(Child|Child[])} children */
export function fill(parent, ...children) {
  while (parent.firstChild) parent.removeChild(parent.firstChild);
  append(parent, children);
}

/** Our own signs, one path each, on a field of 24 by 24, drawn with a line. */
const paths = {
  stop: "M8 2.5h8L21.5 8v8L16 21.5H8L2.5 16V8zM12 7v6M12 16.5v.5",
  ask: "M12 2.5a9.5 9.5 0 1 0 .001 0zM9.2 9.300a2.9 2.9 0 1 1 4.3 2.600c-1 .6-1.5 1.1-1.5 2.100M12 17v.3",
  yes: "M4.5 12.5l5 5 10-11",
  changed: "M12 4l8.5 15.5h-17z",
  info: "M12 2.5a9.5 9.5 0 1 0 .001 0zM12 11v6M12 7v.3",
  play: "M7 4.5l12 7.5-12 7.5z",
  pause: "M8 5v14M16 5v14",
  first: "M6 5v14M19 5l-9 7 9 7z",
  next: "M8 5l8 7-8 7",
  back: "M16 5l-8 7 8 7",
  close: "M5 5l14 14M19 5L5 19",
  menu: "M3.5 6.5h17M3.5 12h17M3.5 17.5h17",
  plus: "M12 4v16M4 12h16",
  file: "M6 2.5h8l4.5 4.5v14.5H6zM14 2.5V7h4.5",
  draw: "M4 20l1-4.5L16.5 4 20 7.5 8.5 19zM14 6.5l3.5 3.5",
  plan: "M4 4.5h16v15H4zM4 9.5h16M9.5 9.5v10",
  amount: "M4 20V9l8-5 8 5v11zM4 13h16M12 13v7",
  price: "M12 2.5a9.5 9.5 0 1 0 .001 0zM15.5 8.5a4.5 4.5 0 1 0 0 7M6.5 11h6M6.5 13.5h6",
  works: "M3.5 3.5v17M7 6h6M10 11h8M14 16h6.5",
  wall: "M3 5h18v14H3zM3 9.700h18M3 14.300h18M9 5v4.700M15 9.700v4.600M9 14.300V19",
  proof: "M12 3c4 4.800 6 7.700 6 11a6 6 0 0 1-12 0c0-3.300 2-6.200 6-11zM9 13.500l2.500 2.500 4-4.500",
  built: "M5 3h14v18H5zM8.500 8.500l1.500 1.500 2.500-3M14.500 9h2M8.500 15.500l1.500 1.500 2.500-3M14.500 16h2",
  people: "M9 4a3.5 3.5 0 1 0 .001 0zM2.5 20c0-5 3-7.5 6.5-7.5s6.5 2.5 6.5 7.5M16 5.5a3 3 0 0 1 0 6M18 13.5c2.3.8 3.5 3 3.5 6.5",
  log: "M5 3h14v18H5zM8.5 8h7M8.5 12h7M8.5 16h4",
  jobs: "M3 7h7l2 2.5h9V19.5H3z",
  theme: "M12 3a9 9 0 1 0 .001 0zM12 3v18",
  out: "M10 4H4v16h6M9 12h11M16 8l4 4-4 4",
  again: "M19.5 12a7.5 7.5 0 1 1-2.3-5.400M19.5 3.5v4h-4",
  weak: "M12 3.5l9.5 17h-19zM12 10v5M12 17.5v.3",
};

/** A drawing of one line on a field of 24 by 24; hidden from readers, so a word must stand with it.
 * @param {string} line @returns {SVGSVGElement} */
export function drawSign(line) {
  const space = "http://www.w3.org/2000/svg";
  const svg = /** @type {SVGSVGElement} */ (document.createElementNS(space, "svg"));
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("class", "icon");
  svg.setAttribute("aria-hidden", "true");
  const path = document.createElementNS(space, "path");
  path.setAttribute("d", line);
  svg.appendChild(path);
  return svg;
}

/** A sign beside a word. @param {keyof typeof paths} name */
export function icon(name) {
  return drawSign(paths[name]);
}

/** A button with words. @param {string} words @param {() => void} click
 * @param {Record<string, any> & {sign?: keyof typeof paths}} [more] */
export function button(words, click, more) {
  const { sign, ...rest } = more ?? {};
  return h("button", { type: "button", class: "button", click, ...rest }, sign && icon(sign), h("span", null, words));
}

/** A field with its label above. @param {string} label @param {HTMLElement} input @param {string} [hint] */
export function field(label, input, hint) {
  if (!input.id) input.id = freshId("f");
  const help = hint ? h("span", { class: "hint", id: input.id + "-hint" }, hint) : null;
  if (help) input.setAttribute("aria-describedby", help.id);
  return h("div", { class: "field" }, h("label", { for: input.id }, label), input, help);
}

let made = 0;

/** An id that no element has. @param {string} stem */
export function freshId(stem) {
  made += 1;
  return `${stem}-${made}`;
}

/** Calls `f` when nothing has called for `ms`. @template {any[]} A @param {number} ms @param {(...a: A) => void} f */
export function settled(ms, f) {
  /** @type {ReturnType<typeof setTimeout>|undefined} */
  let timer;
  const later = (/** @type {A} */ ...a) => {
    clearTimeout(timer);
    timer = setTimeout(f, ms, ...a);
  };
  later.cancel = () => clearTimeout(timer);
  return later;
}
