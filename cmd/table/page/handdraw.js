// Elements of the drawing. What is drawn again keeps its elements, and so the keys
// and a screen reader stay where they were. All text is set as text.

const space = "http://www.w3.org/2000/svg";

function made(e, attrs, inside) {
  set(e, attrs);
  e.append(...inside.filter((x) => x !== null));
  return e;
}

export const svg = (name, attrs = {}, ...inside) => made(document.createElementNS(space, name), attrs, inside);
export const html = (name, attrs = {}, ...inside) => made(document.createElement(name), attrs, inside);

// set sets attributes that differ; null and false take them off.
export function set(e, attrs) {
  for (const [name, value] of Object.entries(attrs)) {
    if (value === null || value === false || value === undefined) e.removeAttribute(name);
    else if (e.getAttribute(name) !== String(value)) e.setAttribute(name, value);
  }
  return e;
}

export function text(e, s) {
  if (e.textContent !== s) e.textContent = s;
  return e;
}

const kept = new WeakMap();

// join has one child for each item, in their order: what is there already is kept.
export function join(parent, items, key, make, update) {
  const was = kept.get(parent) ?? new Map(), is = new Map();
  const keys = items.map((item) => String(key(item)));
  for (const [k, e] of was) if (!keys.includes(k)) e.remove();
  let last = null;
  items.forEach((item, i) => {
    const e = was.get(keys[i]) ?? make(item);
    is.set(keys[i], e);
    update?.(e, item);
    const next = last ? last.nextSibling : parent.firstChild;
    if (e !== next) parent.insertBefore(e, next);
    last = e;
  });
  kept.set(parent, is);
}

// Colours come from files too.
export const colour = (c) => /^#[0-9a-f]{3,8}$/i.test(c ?? "") ? c : "#b9b4a8";

export const short = (name, most = 26) => name.length > most ? name.slice(0, most - 1) + "…" : name;

export const num = (x) => Math.round(x * 100) / 100;

// icon is a small drawing of an outline that fits a square.
export function icon(box, px, ...inside) {
  const w = box[2] - box[0], h = box[3] - box[1], k = px / Math.max(w, h), m = 2 / k;
  return set(svg("svg", { "aria-hidden": "true" }, ...inside), { viewBox: `${num(box[0] - m)} ${num(box[1] - m)} ${num(w + 2 * m)} ${num(h + 2 * m)}`, width: num(w * k + 4), height: num(h * k + 4) });
}

// dragged keeps a finger on a shape from scrolling the page; touch-action does so for
// elements of HTML only.
export function dragged(e) {
  e.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
  return e;
}

const boxes = new Map();

// boxOf measures a path; it is asked of the browser once for each.
export function boxOf(d) {
  if (!boxes.has(d)) {
    if (boxes.size > 500) boxes.clear();
    const path = svg("path", { d }), hidden = svg("svg", { width: 0, height: 0, style: "position:absolute" }, path);
    document.body.append(hidden);
    const b = path.getBBox();
    hidden.remove();
    boxes.set(d, [b.x, b.y, b.x + b.width, b.y + b.height]);
  }
  return boxes.get(d);
}

export function longest(d) {
  const [x0, y0, x1, y1] = boxOf(d);
  return Math.max(x1 - x0, y1 - y0);
}
