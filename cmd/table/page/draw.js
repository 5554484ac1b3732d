// Drawing on the scraps of one file: opens and saves them, and says what is wrong
// with them; the board, the mouse, the keys and the pen have files of their own.
import { say } from "./send.js";
import { askNow } from "./follow.js";
import { state, load, unload, goOn, keptDrawing, onChange, isSaved, mayUndo, mayRedo, undo, redo, chosen, line, choose, changeAll, changeScrap, changeLine } from "./draw-state.js";
import { without, grainDeg, turned } from "./draw-shape.js";
import { board, zoom, showAll, showOne, focusChosen } from "./draw-board.js";
import { tellOf, tellPoint, lineCalled } from "./draw-said.js";
import { take, leave, shut } from "./draw-pen.js";
import { listen, addPoint } from "./draw-keys.js";
import "./draw-mouse.js";

const section = document.getElementById("draw");
const wrong = document.getElementById("draw-wrong");
const facts = document.getElementById("draw-facts");
const button = Object.fromEntries([...section.querySelectorAll("[data-draws]")].map((b) => [b.dataset.draws, b]));
const away = "The cutting table does not answer; see whether eke table still runs.";

function isWrong(text) {
  wrong.textContent = text;
  wrong.hidden = text === "";
}

async function ask(path, body) {
  try {
    return await fetch(path, body ? { method: "POST", body: JSON.stringify(body) } : {});
  } catch {
    return new Response(away, { status: 503 });
  }
}

// open takes up the scraps of a file.
export async function open(file) {
  if (!section.hidden && !isSaved() && file !== state.file) {
    section.scrollIntoView();
    isWrong(`What you drew on ${state.file} is not saved; save it, or put it away, before you draw on another.`);
    return false;
  }
  if (section.hidden || file !== state.file) {
    const answer = await ask("/drawing?" + new URLSearchParams({ file }));
    if (!answer.ok) {
      say(await answer.text());
      return false;
    }
    section.hidden = false;
    const old = keptDrawing();
    load(await answer.json());
    showAll();
    if (old?.file === file && old.scraps && !goOn(old)) isWrong(`${file} has changed since you drew on it, in another tab or program: what you drew and did not save cannot be laid over it.`);
  }
  return true;
}

async function openAndGo(file) {
  if (!await open(file)) return;
  section.scrollIntoView();
  document.getElementById("h-draw").focus({ preventScroll: true });
  tellOf(`${state.scraps.length} ${state.scraps.length === 1 ? "scrap" : "scraps"}; press on one to choose it, or press Tab.`);
}

const drawn = () => ({ file: state.file, stamp: state.stamp, scraps: state.scraps });

let turn = 0; // of the last check
async function check() {
  const mine = ++turn;
  if (isSaved()) {
    isWrong("");
    return;
  }
  const answer = await ask("/drawing", drawn());
  if (mine === turn) isWrong(answer.ok ? "" : await answer.text());
}

async function save() {
  const mine = ++turn;
  button.save.disabled = true;
  const answer = await ask("/drawing?save", drawn());
  button.save.disabled = false;
  if (mine !== turn) return; // drawn on meanwhile
  if (!answer.ok) {
    isWrong(await answer.text());
    return;
  }
  load(await answer.json());
  isWrong("");
  tellOf(`Saved as ${state.file}.`);
  askNow();
}

let sure = false;
function putAway() {
  if (!isSaved() && !sure) {
    sure = true;
    isWrong("What you drew is not saved. Save it, or press once more to throw it away.");
    return;
  }
  const file = state.file;
  isWrong("");
  section.hidden = true;
  unload();
  (document.querySelector(`[data-draw="${CSS.escape(file)}"]`) ?? document.querySelector("[data-draw]"))?.focus();
}

function deleteChosen() {
  const s = chosen(), l = line();
  if (!s) return;
  if (state.point >= 0) {
    if (l.length <= 3) {
      tellOf("A line has three points at least.");
      return;
    }
    const to = without(l, state.point);
    changeLine(to, Math.min(state.point, to.length - 1), `a point deleted from the ${lineCalled()} of ${s.name}`);
    tellPoint("Deleted. ");
  } else if (state.cut) {
    const was = lineCalled(), cut = state.cut;
    choose(s.id);
    changeScrap({ cuts: s.cuts.filter((c) => c.id !== cut) }, `the ${was} of ${s.name} deleted`);
    focusChosen();
    tellOf(`The ${was} is deleted. Ctrl-Z takes that back.`);
  } else {
    const i = state.scraps.indexOf(s);
    changeAll(state.scraps.filter((o) => o !== s), `${s.name} deleted`);
    choose(0);
    tellOf(`${s.name} is deleted. Ctrl-Z takes that back.`);
    (board.querySelectorAll("[data-cut='0']")[i] ?? board).focus({ preventScroll: true });
  }
}

function back(step, word) {
  const what = step();
  tellOf(what ? `${word}: ${what}.` : `There is nothing to ${word === "Taken back" ? "take back" : "do again"}.`);
}

const does = {
  undo: () => back(undo, "Taken back"),
  redo: () => back(redo, "Done again"),
  hole: () => begin("hole"),
  flaw: () => begin("flaw"),
  scrap: () => begin("scrap"),
  shut: () => { shut(); if (!state.pen) focusChosen(); },
  drop: () => { leave(); focusChosen(); },
  add: addPoint,
  delete: deleteChosen,
  in: () => zoom(1.5),
  out: () => zoom(1 / 1.5),
  one: showOne,
  all: showAll,
  save,
  away: putAway,
};

function begin(kind) {
  if (state.pen?.kind === kind) {
    leave();
    return;
  }
  take(kind);
  board.focus({ preventScroll: true });
}

section.addEventListener("click", (event) => {
  const b = event.target.closest("[data-draws]");
  if (!b) return;
  if (b !== button.away) sure = false;
  does[b.dataset.draws]();
});

// fillFacts shows what is known of the scrap that is chosen.
function fillFacts() {
  const s = chosen(), f = facts.elements;
  facts.querySelector("fieldset").disabled = !s;
  document.getElementById("draw-whose").textContent = s ? s.name : "a scrap";
  for (const name of ["name", "fabric", "look", "kind"]) f[name].value = s?.[name] ?? "";
  f.nap.checked = !!s?.nap;
  f.both.checked = !!s?.both;
  f.grain.value = s ? Math.round(10 * grainDeg(s.grain)) / 10 : "";
}

facts.addEventListener("submit", (event) => event.preventDefault());
facts.addEventListener("change", (event) => {
  const { name, value, type, checked } = event.target, s = chosen();
  if (!s) return;
  if (name === "grain") {
    const deg = event.target.valueAsNumber;
    if (!(Math.abs(deg) <= 180)) {
      isWrong("Grain: give degrees from upright, from -180 to 180, clockwise.");
      return;
    }
    changeScrap({ grain: turned(s.grain, deg) }, `the turn of the grain of ${s.name}`);
    return;
  }
  changeScrap({ [name]: type === "checkbox" ? checked : value.trim() }, `the ${name === "both" ? "faces" : name} of ${s.name}`);
});

onChange((what) => {
  section.classList.toggle("draw-penned", state.pen !== null);
  for (const kind of ["hole", "flaw", "scrap"]) button[kind].setAttribute("aria-pressed", state.pen?.kind === kind);
  button.shut.hidden = button.drop.hidden = !state.pen;
  button.undo.disabled = !mayUndo();
  button.redo.disabled = !mayRedo();
  button.add.disabled = button.one.disabled = button.delete.disabled = !chosen();
  button.delete.textContent = "Delete " + (state.point >= 0 ? "the point" : state.cut ? `the ${lineCalled()}` : "the scrap");
  document.getElementById("draw-file").textContent = state.file;
  document.getElementById("draw-state").textContent = isSaved() ? "" : "There are changes that are not saved.";
  button.save.disabled = isSaved();
  if (what !== "pen") fillFacts();
  if (what === "changed") {
    sure = false;
    check();
  }
});

document.addEventListener("click", (event) => {
  const b = event.target.closest("[data-draw]");
  if (b) openAndGo(b.dataset.draw);
});

listen(section, does);

const old = keptDrawing();
if (old?.file) open(old.file);
