// What the work by hand asks of the server: changes, one after the other, and live
// answers while something is dragged.

const silent = "The cutting table does not answer; see whether eke table still runs.";

// read gives what /hand is; again has the server look longer.
export async function read(again) {
  const answer = await fetch(again ? "/hand?again" : "/hand");
  if (!answer.ok) throw new Error(await answer.text());
  return answer.json();
}

let before = Promise.resolve();

// change gives what /hand is then, or why it was refused.
export function change(what, fields = {}) {
  const mine = before.then(async () => {
    try {
      const answer = await fetch("/hand/" + what, { method: "POST", body: new URLSearchParams(fields) });
      if (!answer.ok) return { refused: await answer.text() };
      return answer.status === 204 ? {} : { now: await answer.json() };
    } catch {
      return { refused: silent };
    }
  });
  before = mine;
  return mine;
}

// asker asks what would be: one question at a time is under way, the latest of those
// that wait is asked next, and after drop no answer comes.
export function asker(answered) {
  let flying = false, waiting = null, round = 0;
  async function go(fields) {
    flying = true;
    const mine = round;
    let got = null;
    try {
      const answer = await fetch("/hand/try?" + new URLSearchParams(fields));
      got = answer.ok ? await answer.json() : { refused: await answer.text() };
    } catch { /* the next question, or the change itself, says so */ }
    flying = false;
    if (got && mine === round) answered(got, fields);
    if (waiting) {
      const next = waiting;
      waiting = null;
      go(next);
    }
  }
  return {
    ask(fields) {
      if (flying) waiting = fields;
      else go(fields);
    },
    drop() {
      round++;
      waiting = null;
    },
  };
}
