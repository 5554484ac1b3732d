// One piece as it is cut: its parts, in the colour of the cloth each lies on, its seam
// lines, and a tape beside it that shows how far a line may go.
import { svg, set, text, join, num, short, colour } from "./handdraw.js";
import { sliderOf, drawSlider, isTaped } from "./handline.js";
import { figure, one } from "./handunits.js";
import { axis, fine, summary } from "./handwords.js";

const tape = 16; // px

// pictureOf is a small drawing of a piece with its lines.
export function pictureOf(picture, piece, parts, scraps) {
  const [x0, y0, x1, y1] = piece.box, w = x1 - x0, h = y1 - y0, k = 64 / Math.max(w, h), m = 2 / k;
  if (!picture.firstChild) picture.append(svg("g"), svg("path", { class: "hand-outline" }), svg("g"));
  set(picture, { viewBox: `${num(x0 - m)} ${num(y0 - m)} ${num(w + 2 * m)} ${num(h + 2 * m)}`, width: num(w * k + 4), height: num(h * k + 4), "aria-hidden": "true" });
  const [shapes, outline, lines] = picture.children;
  join(shapes, parts, (p) => p.name, () => svg("path"), (e, p) => shape(e, p, scraps));
  set(outline, { d: piece.d });
  join(lines, piece.lines, (l) => l.id, () => svg("path", { class: "hand-thread" }), (e, l) => set(e, { d: l.d }));
}

function shape(e, part, scraps) {
  const cloth = part.on && scraps.find((s) => s.id === part.on.scrap);
  set(e, { class: cloth ? "hand-region laid" : "hand-region", d: part.seam ?? part.d, style: cloth ? `fill:${colour(cloth.colour)}` : null });
}

// drawPiece draws the piece that is worked on. current is the line, or the way to cut,
// whose range the tape shows; picked the part that is being placed.
export function drawPiece(picture, { piece, parts, scraps, current, picked, width, height }, does) {
  if (!picture.firstChild) {
    picture.append(svg("path", { class: "hand-outline" }), svg("g"), svg("path", { class: "hand-marks" }), svg("g", { class: "hand-tape", "aria-hidden": "true" }), svg("g"), svg("g", { class: "hand-names", "aria-hidden": "true" }));
  }
  const [x0, y0, x1, y1] = piece.box, w = x1 - x0, h = y1 - y0;
  const pad = { left: 46, top: 44, right: 14, bottom: 14 };
  const k = Math.min((width - pad.left - pad.right) / w, (height - pad.top - pad.bottom) / h), u = 1 / k;
  set(picture, {
    viewBox: [x0 - pad.left * u, y0 - pad.top * u, w + (pad.left + pad.right) * u, h + (pad.top + pad.bottom) * u].map(num).join(" "),
    width: num(w * k + pad.left + pad.right), height: num(h * k + pad.top + pad.bottom),
    role: "group", "aria-label": `${piece.label}, drawn with its seam lines`, "data-scale": k,
  });
  const [outline, shapes, marks, ruler, lines, names] = picture.children;
  set(outline, { d: piece.d });
  join(shapes, parts, (p) => p.name, (p) => does.shapeOf(p.name), (e, p) => {
    shape(e, p, scraps);
    e.classList.toggle("picked", p.name === picked);
    set(e, { "data-part": p.name });
  });
  set(marks, { d: piece.marks ?? "" });
  join(ruler, current && isTaped(current) ? [current] : [], (c) => axis(c), () => svg("g"), (e, c) => drawTape(e, c, piece.box, u));
  const says = summary(parts);
  join(lines, piece.lines, (l) => l.id, (l) => sliderOf(l.id, { ...does, held: () => ({ line: does.line(l.id), scale: Number(picture.dataset.scale) }) }), (e, l) => {
    drawSlider(e, l, piece, u, says);
    e.classList.toggle("current", l === current);
  });
  join(names, parts, (p) => p.name, () => svg("text", { class: "words hand-name" }), (e, p) => {
    set(e, { x: num(p.handle[0]), y: num(p.handle[1]), "font-size": num(12 * u) });
    text(e, short(p.name) + (!p.on ? "" : fine(p.on) ? " ✓" : " !"));
  });
}

function drawTape(g, way, [x0, y0], u) {
  const { from, to } = way, across = axis(way) === 0, spot = (mm) => way.zero[axis(way)] + way.dir[axis(way)] * mm;
  const a = Math.min(spot(from), spot(to)), b = Math.max(spot(from), spot(to)), edge = (across ? y0 : x0) - 14 * u, wide = tape * u;
  const { small, middle, figured } = one().tape.small / u < 4 ? one().tight : one().tape;
  const marks = [];
  for (let k = Math.ceil(from / small); k * small <= to; k++) marks.push(k * small);
  const every = (mm, each) => Math.abs(mm / each - Math.round(mm / each)) < 1e-6;
  const long = (mm) => every(mm, figured) ? wide : every(mm, middle) ? wide * 0.6 : wide * 0.35;
  if (!g.firstChild) g.append(svg("rect"), svg("path"), svg("g"));
  const [strip, ticks, figures] = g.children;
  set(strip, across ? { x: num(a), y: num(edge - wide), width: num(b - a), height: num(wide) } : { x: num(edge - wide), y: num(a), width: num(wide), height: num(b - a) });
  set(ticks, { d: marks.map((mm) => across ? `M${num(spot(mm))},${num(edge)} v${num(-long(mm))}` : `M${num(edge)},${num(spot(mm))} h${num(-long(mm))}`).join(" ") });
  const hidden = (mm) => across && way.at !== undefined && Math.abs(mm - way.at) < 60 * u; // by the pin's own figure
  join(figures, marks.filter((mm) => every(mm, figured) && !hidden(mm)), (mm) => mm, () => svg("text", { class: "hand-figure" }), (e, mm) => {
    set(e, { "font-size": num(10 * u), ...(across ? { x: num(spot(mm)), y: num(edge - wide - 4 * u), "text-anchor": "middle" } : { x: num(edge - wide - 3 * u), y: num(spot(mm) + 3.5 * u), "text-anchor": "end" }) });
    text(e, figure(mm));
  });
}
