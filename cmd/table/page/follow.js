// Follows what happens on the table: in this page, in others, and in the files.
import { fetchSection } from "./sections.js";
import { handNow } from "./hand.js";

const seen = {};
const doing = document.getElementById("doing");
let timer = 0;

function pass(seconds) {
  return `${Math.floor(seconds)} s`;
}

async function ask() {
  clearTimeout(timer);
  let wait = 1500;
  try {
    const answer = await fetch("/state");
    if (!answer.ok) throw new Error(await answer.text());
    const state = await answer.json();
    const fetches = [];
    for (const [name, count] of Object.entries(state.changed)) {
      if (seen[name] === count) continue;
      seen[name] = count;
      fetches.push(fetchSection(name));
    }
    await Promise.all(fetches);
    show(state);
    handNow(state);
    if (state.run || state.task) wait = 400;
  } catch (fault) {
    doing.hidden = false;
    doing.textContent = fault instanceof TypeError ? "The cutting table does not answer; see whether eke table still runs." : fault.message;
    wait = 3000;
  }
  clearTimeout(timer);
  timer = setTimeout(ask, wait);
}

function show(state) {
  doing.hidden = !state.task;
  doing.textContent = state.task ? `${state.task.what}: ${pass(state.task.seconds)}` : "";
  if (!state.run) return;
  const text = `${pass(state.run.seconds)} of ${pass(state.run.of)}. The best so far: ${state.run.best}.` + (state.run.stopping ? " Stopping; what was found is being proved and written." : "");
  for (const going of document.querySelectorAll(".going")) {
    going.querySelector("progress").value = Math.min(1, state.run.seconds / state.run.of);
    const says = going.querySelector("p");
    if (says.textContent !== text) says.textContent = text;
  }
}

export function askNow() {
  ask();
}

export function follow() {
  ask();
}
