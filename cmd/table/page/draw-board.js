// The board: what is drawn, in its place and at the size it is looked at.
import { state, chosen, line, choose, onChange } from "./draw-state.js";
import { pathData, points, box, grainDeg } from "./draw-shape.js";

const space = "http://www.w3.org/2000/svg";
export const board = document.getElementById("draw-board");
const seen = { x: 0, y: 0, w: 100 }; // what is seen, in mm; its height is as the board's
const parts = new Map(); // of the scraps, by id
let fits = () => {}; // what is shown as large as there is room for, until she looks elsewhere

function make(name, attributes, parent) {
  const e = document.createElementNS(space, name);
  for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
  parent.append(e);
  return e;
}

const ground = make("g", {}, board), cloth = make("g", {}, board), handles = make("g", { class: "draw-handles" }, board);
const dots = ["draw-dot-rim", "draw-dot", "draw-dot-chosen"].map((c) => make("path", { class: c }, handles));
const arrow = make("path", { class: "draw-grain" }, handles), tips = make("path", { class: "draw-tip" }, handles);
const pen = make("path", { class: "draw-pen" }, handles), cross = make("path", { class: "draw-cross" }, handles);

// mmPerPx is how many millimetres a point of the screen shows.
export const mmPerPx = () => seen.w / (board.clientWidth || 1);

const high = () => seen.w * (board.clientHeight || 1) / (board.clientWidth || 1);

function look() {
  board.setAttribute("viewBox", `${seen.x} ${seen.y} ${seen.w} ${high()}`);
  drawHandles();
}

// place is where on the cloth an event of the pointer is.
export function place(event) {
  const r = board.getBoundingClientRect(), k = mmPerPx();
  return [seen.x + (event.clientX - r.left) * k, seen.y + (event.clientY - r.top) * k];
}

export const middle = () => [seen.x + seen.w / 2, seen.y + high() / 2];

export function pan(dx, dy) {
  if (dx === 0 && dy === 0) return;
  fits = look;
  seen.x += dx;
  seen.y += dy;
  look();
}

export const panShare = (x, y) => pan(x * seen.w, y * high());

// zoom comes closer by a factor, a place staying where it is seen.
export function zoom(by, [x, y] = middle()) {
  const w = Math.min(40000, Math.max(5, seen.w / by)), k = w / seen.w;
  fits = look;
  seen.x = x - (x - seen.x) * k;
  seen.y = y - (y - seen.y) * k;
  seen.w = w;
  look();
}

// show comes so close that a box is seen, with some room.
function show([x0, y0, x1, y1]) {
  const room = 0.06 * Math.max(x1 - x0, y1 - y0, 10), ratio = (board.clientWidth || 1) / (board.clientHeight || 1);
  seen.w = Math.max(x1 - x0 + 2 * room, (y1 - y0 + 2 * room) * ratio);
  seen.x = (x0 + x1 - seen.w) / 2;
  seen.y = (y0 + y1 - high()) / 2;
  look();
}

export function showAll() {
  fits = showAll;
  const corners = state.scraps.flatMap((s) => points(s.rim)).concat(state.grounds.flatMap(({ box: [x, y, w, h] }) => [[x, y], [x + w, y + h]]));
  if (corners.length) show(box(corners));
}

export function showOne() {
  fits = showOne;
  const s = chosen();
  if (s) show(box(points(s.rim)));
}

// see moves what is seen so far that a place is in it.
export function see(x, y) {
  const edge = Math.min(seen.w, high()) / 12;
  pan(Math.min(0, x - seen.x - edge) + Math.max(0, x - seen.x - seen.w + edge), Math.min(0, y - seen.y - edge) + Math.max(0, y - seen.y - high() + edge));
}

const called = (n) => `${n} points`;

function drawScrap(s, at) {
  let e = parts.get(s.id);
  if (!e) {
    const g = make("g", {}, cloth);
    e = { g, fill: make("path", { class: "draw-cloth" }, g), rim: make("path", { class: "draw-line", tabindex: 0, role: "button", "data-scrap": s.id, "data-cut": 0 }, g), cuts: new Map(), grain: null };
    e.grain = make("path", { class: "draw-turn", role: "slider", "aria-valuemin": -180, "aria-valuemax": 180, "data-grain": s.id }, g);
    parts.set(s.id, e);
  }
  if (e.was !== s) {
    e.was = s;
    e.fill.setAttribute("d", pathData(s.rim));
    e.fill.style.fill = s.colour ?? "";
    e.rim.setAttribute("d", pathData(s.rim));
    e.rim.setAttribute("aria-label", `${s.name}, outline of ${called(s.rim.length)}`);
    for (const [id, c] of e.cuts) {
      if (s.cuts.some((k) => k.id === id)) continue;
      c.remove();
      e.cuts.delete(id);
    }
    s.cuts.forEach((c, i) => {
      let path = e.cuts.get(c.id);
      if (!path) {
        path = make("path", { role: "button", "data-scrap": s.id, "data-cut": c.id }, e.g);
        e.g.insertBefore(path, e.grain);
        e.cuts.set(c.id, path);
      }
      path.setAttribute("class", c.flaw ? "draw-line draw-flaw" : "draw-line draw-hole");
      path.setAttribute("d", pathData(c.line));
      path.setAttribute("aria-label", `${s.name}, ${c.flaw ? "flaw" : "hole"} ${i + 1} of ${called(c.line.length)}`);
    });
    e.grain.setAttribute("d", `M${s.grain[0]} ${s.grain[1]}L${s.grain[2]} ${s.grain[3]}`);
    const deg = Math.round(10 * grainDeg(s.grain)) / 10;
    e.grain.setAttribute("aria-label", `${s.name}, grain`);
    e.grain.setAttribute("aria-valuenow", deg);
    e.grain.setAttribute("aria-valuetext", `${deg}° clockwise from upright`);
  }
  const is = s.id === state.scrap;
  e.g.classList.toggle("draw-chosen", is);
  e.rim.classList.toggle("draw-lit", is && !state.cut);
  for (const [id, path] of e.cuts) {
    path.setAttribute("tabindex", is ? 0 : -1);
    path.classList.toggle("draw-lit", is && id === state.cut);
  }
  e.grain.setAttribute("tabindex", is ? 0 : -1);
  if (cloth.children[at] !== e.g) cloth.insertBefore(e.g, cloth.children[at] ?? null);
}

const dot = ([x, y]) => `M${x} ${y}h0`;

// drawHandles draws what is taken hold of, of one size at any distance.
function drawHandles() {
  const s = chosen(), p = state.pen, l = p ? p.points : line() ?? [], k = mmPerPx();
  let far = null; // points too near the last to be told from it are not drawn
  const apart = l.filter((c, i) => {
    const is = i === state.point || !far || Math.hypot(c[0] - far[0], c[1] - far[1]) > 9 * k;
    if (is) far = c;
    return is;
  });
  const all = apart.map(dot).join("");
  dots[0].setAttribute("d", all);
  dots[1].setAttribute("d", all);
  dots[2].setAttribute("d", !p && l[state.point] ? dot(l[state.point]) : "");
  let grain = "", ends = "";
  if (s) {
    const [x0, y0, x1, y1] = s.grain, long = Math.hypot(x1 - x0, y1 - y0) || 1, ux = (x1 - x0) / long, uy = (y1 - y0) / long;
    const head = (x, y, to) => `M${x - to * 11 * k * ux - 5 * k * uy} ${y - to * 11 * k * uy + 5 * k * ux}L${x} ${y}L${x - to * 11 * k * ux + 5 * k * uy} ${y - to * 11 * k * uy - 5 * k * ux}`;
    grain = `M${x0} ${y0}L${x1} ${y1}` + head(x1, y1, 1) + (s.nap ? "" : head(x0, y0, -1));
    ends = dot([x0, y0]) + dot([x1, y1]);
  }
  arrow.setAttribute("d", grain);
  tips.setAttribute("d", ends);
  pen.setAttribute("d", p ? [...p.points, p.at].map(([x, y], i) => `${i ? "L" : "M"}${x} ${y}`).join("") : "");
  cross.setAttribute("d", p ? `M${p.at[0] - 9 * k} ${p.at[1]}h${18 * k}M${p.at[0]} ${p.at[1] - 9 * k}v${18 * k}` : "");
}

function draw() {
  for (const [id, e] of parts) {
    if (state.scraps.some((s) => s.id === id)) continue;
    e.g.remove();
    parts.delete(id);
  }
  state.scraps.forEach(drawScrap);
  drawHandles();
}

onChange((what) => {
  if (what === "loaded") {
    ground.replaceChildren();
    for (const { src, box: [x, y, width, height] } of state.grounds) make("image", { href: src, x, y, width, height, preserveAspectRatio: "none" }, ground);
    board.classList.toggle("draw-on-photo", state.grounds.length > 0);
  }
  draw();
});

// focusChosen puts the keys on the line that is chosen.
export function focusChosen() {
  const e = parts.get(state.scrap);
  ((state.cut ? e?.cuts.get(state.cut) : e?.rim) ?? board).focus({ preventScroll: true });
}

board.addEventListener("focusin", (event) => {
  const { scrap, cut, grain } = event.target.dataset;
  if (scrap && (Number(scrap) !== state.scrap || Number(cut) !== state.cut)) choose(Number(scrap), Number(cut));
  if (grain && state.cut) choose(Number(grain));
  const l = line();
  if ((scrap || grain) && l && event.target.matches(":focus-visible")) {
    const [x0, y0, x1, y1] = box(l);
    see((x0 + x1) / 2, (y0 + y1) / 2);
  }
});

new ResizeObserver(() => {
  if (board.clientWidth) fits();
}).observe(board);
