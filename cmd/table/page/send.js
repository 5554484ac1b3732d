// What the page asks of the server, and what it says when that goes wrong.
import { askNow } from "./follow.js";

const mostBytes = 64 << 20; // the server takes no more
const said = document.getElementById("said");

export function say(text) {
  said.textContent = text;
  said.hidden = text === "";
}

async function post(path, body) {
  let answer;
  try {
    answer = await fetch(path, { method: "POST", body });
  } catch {
    say("The cutting table does not answer; see whether eke table still runs.");
    return false;
  }
  say(answer.ok ? "" : await answer.text());
  askNow();
  return answer.ok;
}

export function send(what, fields) {
  return post("/" + what, fields);
}

// bring sends files one after the other; the first that is refused ends it.
export async function bring(as, files) {
  for (const file of files) {
    if (file.size > mostBytes) {
      say(`${file.name} is more than ${mostBytes >> 20} MB; bring a smaller file.`);
      return;
    }
    if (!await post("/bring?" + new URLSearchParams({ as, name: file.name }), file)) return;
  }
}
