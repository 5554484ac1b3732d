// What a mouse, a pen or fingers do on the board.
import { state, chosen, line, choose, begin, isBegun, showLine, showScrap, changeLine, make, putBack } from "./draw-state.js";
import { moved, shifted, withCorner, nearest, nearestCorner, inside, turned, grainDeg } from "./draw-shape.js";
import { board, place, pan, zoom, mmPerPx, focusChosen } from "./draw-board.js";
import { tellOf, tellPoint, tellLine, lineCalled } from "./draw-said.js";
import { set, pointAt, near } from "./draw-pen.js";

// under is what of the drawing is under the pointer.
function under([x, y], reach) {
  const s = chosen(), l = line(), within = (far) => far <= reach * mmPerPx();
  if (s && l) {
    const c = nearestCorner(l, x, y);
    if (within(c.away)) return { is: "point", i: c.i };
    for (const end of [0, 2]) {
      if (within(Math.hypot(s.grain[end] - x, s.grain[end + 1] - y))) return { is: "tip", end };
    }
    const on = nearest(l, x, y);
    if (within(on.away)) return { is: "line", on };
  }
  const first = s ? [s, ...state.scraps.filter((o) => o !== s)] : state.scraps;
  for (const o of first) {
    for (const c of o.cuts) {
      if (inside(c.line, x, y) || within(nearest(c.line, x, y).away)) return { is: c.id === state.cut ? "held" : "cut", scrap: o.id, cut: c.id };
    }
  }
  for (const o of first) {
    if (inside(o.rim, x, y) || within(nearest(o.rim, x, y).away)) return { is: "scrap", scrap: o.id };
  }
  return { is: "none" };
}

const cursors = { point: "move", tip: "grab", line: "copy", held: "move", cut: "pointer", scrap: "pointer", none: "default" };
const downs = new Map(); // the pointers that are down
let what = null; // that is done with the first of them

board.addEventListener("pointerdown", (event) => {
  if (event.button !== 0) return;
  event.preventDefault();
  board.setPointerCapture(event.pointerId);
  downs.set(event.pointerId, [event.clientX, event.clientY]);
  if (downs.size > 1) {
    putBack();
    what = { is: "pinch" };
    return;
  }
  const at = place(event);
  what = { at, from: [event.clientX, event.clientY], far: false, ...(state.pen ? { is: "pen" } : under(at, event.pointerType === "touch" ? 20 : 9)) };
  what.line = line();
  if (what.is === "point") {
    choose(state.scrap, state.cut, what.i);
    tellPoint();
  }
  if (!state.pen) (state.scrap ? focusChosen : () => board.focus({ preventScroll: true }))();
});

function drag(event) {
  const [x, y] = place(event), dx = x - what.at[0], dy = y - what.at[1];
  switch (what.is) {
    case "line":
      begin();
      what.line = withCorner(what.line, what.on.i, what.on.t);
      Object.assign(what, { is: "point", i: what.on.i + 1, added: true });
      what.at = what.line[what.i].slice(0, 2);
      drag(event);
      return;
    case "point":
      begin();
      showLine(moved(what.line, what.i, what.line[what.i][0] + dx, what.line[what.i][1] + dy), what.i);
      return;
    case "held":
      begin();
      showLine(shifted(what.line, dx, dy));
      return;
    case "tip": {
      begin();
      const g = chosen().grain, mx = (g[0] + g[2]) / 2, my = (g[1] + g[3]) / 2;
      const to = what.end ? [mx, my, x, y] : [x, y, mx, my];
      showScrap({ grain: turned(g, Math.round(10 * grainDeg(to)) / 10) });
      return;
    }
    default: {
      const k = mmPerPx();
      pan((what.last[0] - event.clientX) * k, (what.last[1] - event.clientY) * k);
    }
  }
}

board.addEventListener("pointermove", (event) => {
  const was = downs.get(event.pointerId);
  if (!was) {
    if (state.pen) pointAt(...place(event));
    board.style.cursor = state.pen ? "crosshair" : cursors[under(place(event), 9).is];
    return;
  }
  if (what?.is === "pinch") {
    pinch(event, was);
  } else if (what) {
    what.far ||= Math.hypot(event.clientX - what.from[0], event.clientY - what.from[1]) > 3;
    what.last = was;
    if (what.far) drag(event);
  }
  downs.set(event.pointerId, [event.clientX, event.clientY]);
});

function pinch(event, was) {
  const other = [...downs].find(([id]) => id !== event.pointerId)?.[1];
  if (!other) return;
  const now = [event.clientX, event.clientY], far = (a) => Math.hypot(a[0] - other[0], a[1] - other[1]), k = mmPerPx();
  pan((was[0] - now[0]) / 2 * k, (was[1] - now[1]) / 2 * k);
  zoom(Math.min(2, Math.max(0.5, far(now) / Math.max(1, far(was)))), place({ clientX: (now[0] + other[0]) / 2, clientY: (now[1] + other[1]) / 2 }));
}

function up(event) {
  if (!downs.delete(event.pointerId)) return;
  if (what?.is === "pinch") {
    if (downs.size === 0) what = null;
    return;
  }
  const did = what;
  what = null;
  if (!did) return;
  if (event.type === "pointercancel") {
    putBack();
  } else if (did.far) {
    finish(did);
  } else {
    press(did, event);
  }
}

function finish(did) {
  if (!isBegun()) return;
  const whose = `${lineCalled()} of ${chosen().name}`;
  if (did.is === "tip") {
    make(`the turn of the grain of ${chosen().name}`);
    tellOf(`The grain of ${chosen().name} is at ${Math.round(10 * grainDeg(chosen().grain)) / 10}°.`);
  } else if (did.is === "held") {
    make(`the move of the ${whose}`);
    tellOf(`The ${whose} is moved.`);
  } else {
    make(did.added ? `a point added to the ${whose}` : `a point moved in the ${whose}`);
    tellPoint(did.added ? "Added. " : "");
  }
}

function press(did, event) {
  switch (did.is) {
    case "pen":
      pointAt(...place(event));
      set(near());
      break;
    case "cut":
      choose(did.scrap, did.cut);
      break;
    case "scrap":
    case "none":
      choose(did.scrap ?? 0);
      break;
    case "line":
    case "held":
      choose(state.scrap, state.cut);
  }
  if (did.is !== "pen" && did.is !== "point" && state.scrap) {
    focusChosen();
    tellLine();
  }
}

board.addEventListener("pointerup", up);
board.addEventListener("pointercancel", up);

board.addEventListener("dblclick", (event) => {
  const it = state.pen ? {} : under(place(event), 9);
  if (it.is !== "line") return;
  changeLine(withCorner(line(), it.on.i, it.on.t), it.on.i + 1, `a point added to the ${lineCalled()} of ${chosen().name}`);
  tellPoint("Added. ");
});

board.addEventListener("wheel", (event) => {
  event.preventDefault();
  const lines = event.deltaMode === 1 ? 16 : 1;
  zoom(Math.exp(-event.deltaY * lines * (event.ctrlKey ? 0.01 : 0.0015)), place(event));
}, { passive: false });

