// What the drawing says of itself, to eyes and to a screen reader.
import { state, line, chosen, chosenCut } from "./draw-state.js";

const said = document.getElementById("draw-said");

export function tellOf(text) {
  said.textContent = text;
}

const mm = (v) => (Math.round(10 * v) / 10).toFixed(1);

export function tellPoint(first = "") {
  const l = line(), c = l?.[state.point];
  if (c) tellOf(`${first}Point ${state.point + 1} of ${l.length}: x ${mm(c[0])}, y ${mm(c[1])} mm.`);
}

export function lineCalled() {
  const c = chosenCut();
  return c ? (c.flaw ? "flaw" : "hole") : "outline";
}

export function tellLine() {
  const s = chosen();
  if (s) tellOf(`${s.name}, ${lineCalled()}: ${line().length} points.`);
}
