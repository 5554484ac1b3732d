// Draws a new line, point by point: a hole, a flaw, or another scrap.
import { state, penIs, changeAll, choose, newId } from "./draw-state.js";
import { inside, fresh } from "./draw-shape.js";
import { middle, mmPerPx, see } from "./draw-board.js";
import { tellOf } from "./draw-said.js";

export function take(kind) {
  penIs({ kind, points: [], at: middle() });
  tellOf(`Drawing a ${kind}: press at each of its points and at the first again, or move the cross with the arrows and set points with Enter.`);
}

export function leave() {
  if (!state.pen) return;
  penIs(null);
  tellOf("Given up.");
}

export function pointAt(x, y) {
  penIs({ ...state.pen, at: [x, y] });
}

export function movePen(dx, dy) {
  const [x, y] = state.pen.at;
  pointAt(x + dx, y + dy);
  see(...state.pen.at);
  tellOf(`x ${(x + dx).toFixed(1)}, y ${(y + dy).toFixed(1)} mm.`);
}

// set puts a point where the pen is; at the first one it closes the line.
export function set(near = 0.05) {
  const p = state.pen, [x, y] = p.at, away = (q) => Math.hypot(q[0] - x, q[1] - y);
  if (p.points.length > 2 && away(p.points[0]) <= near) return shut();
  if (p.points.length && away(p.points.at(-1)) < 0.05) return;
  penIs({ ...p, points: [...p.points, [x, y]] });
  tellOf(`Point ${p.points.length + 1} set.`);
}

export function takeBack() {
  const p = state.pen;
  penIs({ ...p, points: p.points.slice(0, -1) });
  tellOf(`${p.points.length ? p.points.length - 1 : 0} points are set.`);
}

export function shut() {
  const { kind, points: line } = state.pen;
  if (line.length < 3) {
    tellOf("Three points are needed to close a line.");
    return;
  }
  const id = newId();
  if (kind === "scrap") {
    const names = new Set(state.scraps.map((s) => s.name));
    let n = state.scraps.length + 1;
    while (names.has(`scrap ${n}`)) n++;
    penIs(null);
    changeAll([...state.scraps, { of: -1, id, name: `scrap ${n}`, fabric: "", look: "", kind: "", nap: false, both: false, grain: fresh(line), rim: line, cuts: [] }], "the new scrap");
    choose(id);
    tellOf(`Scrap ${n} is drawn; give it its name.`);
    return;
  }
  const holds = (s) => line.filter(([x, y]) => inside(s.rim, x, y)).length;
  const most = Math.max(...state.scraps.map(holds));
  const of = most === 0 ? undefined : state.scraps.find((s) => s.id === state.scrap && holds(s) === most) ?? state.scraps.find((s) => holds(s) === most);
  if (!of) {
    tellOf(`This ${kind} lies in no scrap; draw it inside one.`);
    return;
  }
  penIs(null);
  changeAll(state.scraps.map((s) => (s === of ? { ...s, cuts: [...s.cuts, { id, flaw: kind === "flaw", line }] } : s)), `the ${kind} in ${of.name}`);
  choose(of.id, id);
  tellOf(`A ${kind} of ${line.length} points is drawn in ${of.name}.`);
}

// near is how far from the first point a press may be to close the line.
export const near = () => 12 * mmPerPx();
