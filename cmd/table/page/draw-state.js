// What is drawn, what of it is chosen, and what may be taken back. Every change
// makes a new drawing that shares what it leaves alone with the one before.

const kept = "eke-drawing"; // in this tab, so that a reload loses nothing

export const state = {
  file: "", stamp: "", grounds: [],
  scraps: [], // each with an id of its own here, as have its cuts
  scrap: 0, cut: 0, point: -1, // ids of what is chosen; 0 and -1 are none
  saved: null, // the scraps as the file has them
  pen: null, // a line that is being drawn: { kind, points, at }
};

let past = [], future = [], base = null, ids = 0;
const listeners = [];

export function onChange(does) {
  listeners.push(does);
}

function tell(what) {
  for (const does of listeners) does(what);
}

const withIds = (scraps) => scraps.map((s) => ({ ...s, id: ++ids, cuts: s.cuts.map((c) => ({ ...c, id: ++ids })) }));

export const newId = () => ++ids;

// load takes up a drawing as the server gives it. What was chosen is chosen again.
export function load(drawing) {
  const was = state.scraps.findIndex((s) => s.id === state.scrap);
  const cut = chosen()?.cuts.findIndex((c) => c.id === state.cut) ?? -1;
  const same = state.scraps.length === drawing.scraps.length;
  Object.assign(state, { file: drawing.file, stamp: drawing.stamp, grounds: drawing.grounds, scraps: withIds(drawing.scraps), pen: null, point: same ? state.point : -1 });
  state.scrap = (same && state.scraps[was]?.id) || 0;
  state.cut = (same && state.scraps[was]?.cuts[cut]?.id) || 0;
  state.saved = state.scraps;
  past = [];
  future = [];
  base = null;
  keep();
  tell("loaded");
}

// Kept is what was being drawn before the page was loaded anew, or null.
export function keptDrawing() {
  try {
    return JSON.parse(sessionStorage.getItem(kept));
  } catch {
    return null;
  }
}

// goOn takes up what was kept over what the file has, if that is still the same.
export function goOn(old) {
  if (old.stamp !== state.stamp) return false;
  past.push({ scraps: state.scraps, what: "all changes before the page was loaded anew" });
  state.scraps = withIds(old.scraps);
  keep();
  tell("changed");
  return true;
}

function keep() {
  try {
    if (state.file === "") sessionStorage.removeItem(kept);
    else sessionStorage.setItem(kept, JSON.stringify({ file: state.file, stamp: state.stamp, scraps: isSaved() ? null : state.scraps }));
  } catch { /* there is no room: a reload then starts from the file */ }
}

export function unload() {
  Object.assign(state, { file: "", stamp: "", grounds: [], scraps: [], scrap: 0, cut: 0, point: -1, saved: null, pen: null });
  past = [];
  future = [];
  base = null;
  keep();
  tell("loaded");
}

export const isSaved = () => state.scraps === state.saved;
export const mayUndo = () => past.at(-1)?.what;
export const mayRedo = () => future.at(-1)?.what;

export const chosen = () => state.scraps.find((s) => s.id === state.scrap);
export const chosenCut = () => chosen()?.cuts.find((c) => c.id === state.cut);
// The line that is chosen: an outline, or a hole or flaw.
export const line = () => (state.cut ? chosenCut()?.line : chosen()?.rim);

export function choose(scrap, cut = 0, point = -1) {
  if (state.scrap === scrap && state.cut === cut && state.point === point) return;
  Object.assign(state, { scrap, cut, point });
  tell("chosen");
}

// With is the scraps with the chosen one changed.
function withScrap(change) {
  return state.scraps.map((s) => (s.id === state.scrap ? { ...s, ...change(s) } : s));
}

function withLine(to) {
  return withScrap((s) => (state.cut ? { cuts: s.cuts.map((c) => (c.id === state.cut ? { ...c, line: to } : c)) } : { rim: to }));
}

// A change may be looked at while it is made: it is begun, shown over and over, and
// then made or put back.
export function begin() {
  base ??= { scraps: state.scraps, point: state.point };
}

export const isBegun = () => base !== null;

export function showLine(to, point = state.point) {
  state.scraps = withLine(to);
  state.point = point;
  tell("shown");
}

export function showScrap(change) {
  state.scraps = withScrap(() => change);
  tell("shown");
}

export function make(what) {
  if (base === null) return;
  const was = base.scraps;
  base = null;
  if (was === state.scraps) return;
  past.push({ scraps: was, what });
  future = [];
  keep();
  tell("changed");
}

export function putBack() {
  if (base === null) return;
  Object.assign(state, base);
  base = null;
  tell("shown");
}

export function changeLine(to, point, what) {
  begin();
  showLine(to, point);
  make(what);
}

export function changeScrap(change, what) {
  begin();
  showScrap(change);
  make(what);
}

export function changeAll(scraps, what) {
  begin();
  state.scraps = scraps;
  make(what);
}

function step(from, to) {
  putBack();
  const last = from.pop();
  if (!last) return "";
  to.push({ scraps: state.scraps, what: last.what });
  state.scraps = last.scraps;
  if (!chosen()) Object.assign(state, { scrap: 0, cut: 0 });
  if (state.cut && !chosenCut()) state.cut = 0;
  if (state.point >= (line()?.length ?? 0)) state.point = -1;
  keep();
  tell("changed");
  return last.what;
}

export const undo = () => step(past, future);
export const redo = () => step(future, past);

export function penIs(pen) {
  state.pen = pen;
  tell("pen");
}
