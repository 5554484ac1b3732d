// What the keys do on the board.
import { state, chosen, line, choose, begin, isBegun, showLine, changeScrap, changeLine, make, putBack } from "./draw-state.js";
import { moved, shifted, withCorner, turned, grainDeg } from "./draw-shape.js";
import { board, panShare, zoom, showAll, see } from "./draw-board.js";
import { tellOf, tellPoint, tellLine, lineCalled } from "./draw-said.js";
import { movePen, set, takeBack, leave } from "./draw-pen.js";

const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

// step is how far an arrow goes, in mm.
const step = (event) => (event.shiftKey ? 10 : event.ctrlKey || event.metaKey ? 0.1 : 1);

export function addPoint() {
  const l = line();
  if (!l) return;
  const i = Math.max(0, state.point);
  changeLine(withCorner(l, i, 0.5), i + 1, `a point added to the ${lineCalled()} of ${chosen().name}`);
  tellPoint("Added. ");
}

export function takeUp() {
  const whole = state.point < 0;
  if (whole && !state.cut) {
    tellOf("Choose a point with the arrows first.");
    return;
  }
  begin();
  tellOf(whole ? `The ${lineCalled()} is taken up; the arrows move it.` : `Point ${state.point + 1} is taken up; the arrows move it.`);
}

export function putDown() {
  const whole = state.point < 0;
  make(whole ? `the move of the ${lineCalled()} of ${chosen().name}` : `a point moved in the ${lineCalled()} of ${chosen().name}`);
  whole ? tellOf("Put down.") : tellPoint("Put down. ");
}

function holding(event) {
  const way = ways[event.key];
  if (way) {
    const l = line(), dx = way[0] * step(event), dy = way[1] * step(event), c = l[state.point];
    showLine(c ? moved(l, state.point, c[0] + dx, c[1] + dy) : shifted(l, dx, dy));
    const [x, y] = line()[Math.max(0, state.point)];
    see(x, y);
    c ? tellPoint() : tellOf(`x ${x.toFixed(1)}, y ${y.toFixed(1)} mm.`);
    return true;
  }
  if (event.key === "Escape") {
    putBack();
    tellOf("Put back.");
    return true;
  }
  if (event.key === "Enter" || event.key === " ") {
    putDown();
    return true;
  }
  return false;
}

function goTo(i) {
  choose(state.scrap, state.cut, i);
  const [x, y] = line()[i];
  see(x, y);
  tellPoint();
}

function onLine(event, does) {
  const n = line().length, at = state.point;
  switch (event.key) {
    case "ArrowRight": case "ArrowDown": goTo(at < 0 ? 0 : (at + 1) % n); return true;
    case "ArrowLeft": case "ArrowUp": goTo(at < 0 ? n - 1 : (at + n - 1) % n); return true;
    case "Home": goTo(0); return true;
    case "End": goTo(n - 1); return true;
    case "Enter": case " ": takeUp(); return true;
    case "Insert": case "i": case "I": addPoint(); return true;
    case "Delete": case "Backspace": does.delete(); return true;
    case "Escape":
      choose(state.scrap, state.cut);
      tellLine();
      return true;
  }
  return false;
}

function onGrain(event) {
  const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
  if (!by) return false;
  const s = chosen(), deg = Math.round(grainDeg(s.grain) * 10) / 10 + by * step(event);
  changeScrap({ grain: turned(s.grain, deg) }, `the turn of the grain of ${s.name}`);
  tellOf(`Grain ${Math.round(10 * grainDeg(chosen().grain)) / 10}°.`);
  return true;
}

function withPen(event) {
  const way = ways[event.key];
  if (way) movePen(way[0] * step(event), way[1] * step(event));
  else if (event.key === "Enter" || event.key === " ") set();
  else if (event.key === "Backspace" || event.key === "Delete") takeBack();
  else if (event.key === "Escape") leave();
  else return false;
  return true;
}

function onBoard(event) {
  const way = ways[event.key];
  if (way && event.target === board) panShare(way[0] / 10, way[1] / 10);
  else if (event.key === "+" || event.key === "=") zoom(1.25);
  else if (event.key === "-") zoom(0.8);
  else if (event.key === "0") showAll();
  else return false;
  return true;
}

// listen makes the keys work; does.delete takes away what is chosen.
export function listen(section, does) {
  section.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.target.matches("input, select")) return;
    const key = event.key.toLowerCase();
    if (key !== "z" && key !== "y") return;
    event.preventDefault();
    (key === "y" || event.shiftKey ? does.redo : does.undo)();
  });
  board.addEventListener("keydown", (event) => {
    if (event.altKey || event.key === "Tab") return;
    const on = event.target.dataset;
    const done = state.pen ? withPen(event) || onBoard(event) : isBegun() ? holding(event) : on.grain && onGrain(event) || on.scrap && onLine(event, does) || onBoard(event);
    if (done) event.preventDefault();
  });
  board.addEventListener("focusout", () => {
    if (isBegun()) putDown();
  });
}
