// A seam line as a slider: dragged across its piece, or moved by keys.
import { svg, set, text, num, dragged, boxOf } from "./handdraw.js";
import { length, one, onTape } from "./handunits.js";
import { at, axis, straight } from "./handwords.js";

const rest = 600; // ms without a key before a line is put down

// sliderOf makes a line's element. held gives its line and how many pixels a mm is;
// move is told each new place, put the one it is left at, and back that it is where it was.
export function sliderOf(id, { held, move, put, back }) {
  const g = dragged(svg("g", { class: "hand-line", role: "slider", tabindex: 0, "data-line": id },
    svg("path", { class: "hand-reach" }), svg("path", { class: "hand-string" }), svg("path", { class: "hand-under" }), svg("path", { class: "hand-thread" }),
    svg("g", { class: "hand-pin" }, svg("circle"), svg("circle"), svg("text"))));
  let drag = null, timer = 0;

  const within = (line, mm) => Math.min(line.to, Math.max(line.from, mm));
  function settle() {
    clearTimeout(timer);
    if (!timer) return;
    timer = 0;
    if (held(id).line) put(id, held(id).line.at);
  }

  g.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || drag) return;
    settle();
    const { line, scale } = held(id);
    drag = { pointer: event.pointerId, x: event.clientX, y: event.clientY, at: line.at, scale, moved: false };
    g.setPointerCapture(event.pointerId);
    g.focus({ preventScroll: true });
    g.classList.add("held");
    event.preventDefault();
    event.stopPropagation();
  });
  g.addEventListener("pointermove", (event) => {
    if (event.pointerId !== drag?.pointer) return;
    const { line } = held(id);
    if (!line) return;
    const by = ((event.clientX - drag.x) * line.dir[0] + (event.clientY - drag.y) * line.dir[1]) / drag.scale;
    const to = within(line, onTape(drag.at + by));
    if (to === line.at) return;
    drag.moved = true;
    move(id, to);
  });
  const end = (event) => {
    if (event.pointerId !== drag?.pointer) return;
    const { moved, at } = drag;
    drag = null;
    g.classList.remove("held");
    if (!held(id).line) return;
    if (event.type !== "pointerup") back(id);
    else if (moved && held(id).line.at !== at) put(id, held(id).line.at);
    else if (moved) back(id);
  };
  for (const kind of ["pointerup", "pointercancel", "lostpointercapture"]) g.addEventListener(kind, end);

  g.addEventListener("keydown", (event) => {
    const { line } = held(id);
    const way = Math.sign(line.dir[axis(line)]), on = way * one().step, far = way * one().far; // arrows go where they point
    const to = { ArrowDown: line.at + on, ArrowRight: line.at + on, ArrowUp: line.at - on, ArrowLeft: line.at - on, PageDown: line.at + far, PageUp: line.at - far, Home: line.from, End: line.to }[event.key];
    if (event.key === "Escape" && (drag || timer)) {
      drag = null;
      g.classList.remove("held");
      clearTimeout(timer);
      timer = 0;
      back(id);
      event.preventDefault();
    }
    if (event.key === "Enter") settle();
    if (to === undefined || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    clearTimeout(timer);
    timer = setTimeout(settle, rest);
    move(id, within(line, to));
  });
  g.addEventListener("blur", settle);
  return g;
}

// isTaped reports whether a line's place is one that a tape beside the piece shows.
export const isTaped = (line) => line.way !== "shoulder" && straight(line);

// drawSlider draws a line where it is: its seam, moved on from where the server last
// drew it by what the pointer is ahead, and its pin on the tape.
export function drawSlider(g, line, piece, u, says) {
  const ahead = line.at - line.drawn, b = boxOf(line.d), across = axis(line) === 0, taped = isTaped(line);
  const [x0, y0, x1, y1] = piece.box, level = line.zero[axis(line)] + line.dir[axis(line)] * line.at;
  const [reach, string, under, thread, pin] = g.children;
  set(g, {
    "aria-label": `${line.name} of ${piece.label}`, "aria-orientation": across ? "horizontal" : "vertical",
    "aria-valuemin": Math.round(line.from), "aria-valuemax": Math.round(line.to), "aria-valuenow": Math.round(line.at),
    "aria-valuetext": at(line) + (says ? `; ${says}` : ""),
  });
  const by = [num(ahead * line.dir[0]), num(ahead * line.dir[1])], shift = `translate(${by[0]} ${by[1]})`;
  for (const e of [reach, under, thread]) set(e, { d: line.d, transform: shift });
  const pinAt = !taped ? [(b[0] + b[2]) / 2 + by[0], (b[1] + b[3]) / 2 + by[1]] : across ? [level, y0 - 22 * u] : [x0 - 22 * u, level];
  set(string, { d: !taped ? "" : across ? `M${num(level)},${num(pinAt[1])} V${num(y1 + 6 * u)}` : `M${num(pinAt[0])},${num(level)} H${num(x1 + 6 * u)}` });
  set(pin, { transform: `translate(${num(pinAt[0])} ${num(pinAt[1])})` });
  const [touch, head, tag] = pin.children;
  set(touch, { class: "hand-touch", r: num(22 * u) });
  set(head, { class: "hand-head", r: num(7 * u) });
  set(tag, { class: "words hand-tag", "font-size": num(12 * u), x: num(taped ? 11 * u : -6 * u), y: num(taped && across ? -3 * u : -12 * u) });
  text(tag, line.way === "shoulder" ? at(line) : length(line.at));
}
