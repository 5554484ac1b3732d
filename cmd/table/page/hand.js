// Work by hand: what lies on the table as the server has it, what is being tried on
// top of it, and what is done about each. The drawing follows the hand at once; live
// answers of the server catch up with it.
import { askNow } from "./follow.js";
import { read, change, asker } from "./handask.js";
import { html, svg, set, text, join, num, short, boxOf, dragged } from "./handdraw.js";
import { pictureOf, drawPiece } from "./handpiece.js";
import { buttonOf, drawButton, drawCards } from "./handcards.js";
import { drawScraps, under, scaleOf, sound, would } from "./handscraps.js";
import { carry } from "./handcarry.js";
import { length, one, unitIs } from "./handunits.js";
import { at, count, fine, lies, range, wayName } from "./handwords.js";

const by = (id) => document.getElementById(id);
const place = by("hand-scraps");

let now = null; // as the server has it
let known = -1; // its version
let bring = 0; // how often what lies on the table has changed
let piece = null; // the copy that is worked on
let line = null; // the line whose range the tape shows
let offer = null; // a way that is pointed at
let picked = null; // the part that is being placed
let trial = null; // of a line that is moved: {id, at, drawn, d, parts}
let carried = null;
let closer = 1;

const copyOf = () => now.copies.find((c) => c.id === piece);
const partOf = (name) => now.parts.find((p) => p.name === name);
const scrapOf = (id) => now.scraps.find((s) => s.id === id);

// laidOut is what the server has of lines, made ready to draw: a seam that is on both
// sides of a copy is one line.
function laidOut(fresh) {
  for (const copy of fresh.copies) {
    const lines = new Map();
    for (const l of copy.lines) {
      const had = lines.get(l.id);
      if (had) had.d += l.d;
      else lines.set(l.id, { ...l, drawn: l.at, name: l.called ?? l.name });
    }
    copy.lines = [...lines.values()];
  }
  return fresh;
}

// partsOf are the parts of a copy as they would be with the line where it is held.
const partsOf = (copy) => copy.parts.map((name) => trial?.parts?.get(name) ?? partOf(name)).filter(Boolean);

function linesOf(copy) {
  return copy.lines.map((l) => l.id === trial?.id ? { ...l, at: trial.at, drawn: trial.drawn ?? l.drawn, d: trial.d ?? l.d } : l);
}

function middle(d) {
  const b = boxOf(d);
  return [(b[0] + b[2]) / 2, (b[1] + b[3]) / 2];
}

const live = asker((got, asked) => {
  if (asked.line) {
    if (trial?.id !== asked.line || !got.line) return;
    trial.parts = new Map(got.parts.map((p) => [p.name, { ...p, handle: p.handle ?? middle(p.d) }]));
    if (got.line.way !== "shoulder") Object.assign(trial, { drawn: got.line.at, d: got.line.d });
    drawSoon();
  } else if (carried) {
    if (!got.refused) would(place, asked.scrap, got);
    carried.says(got.refused ?? lies({ ...got.on, ok: got.ok }), !got.refused && sound(got));
  } else if (!carried) {
    speak(got.refused ?? `${asked.part} ${lies({ ...got.on, ok: got.ok })} there.`);
  }
});

function speak(words) {
  text(by("hand-said"), words);
}

// does makes a change; what is tried goes with it.
async function make(what, fields) {
  const got = await change(what, fields);
  if (got.refused) speak(got.refused);
  else if (got.now) take(got.now);
  return !got.refused;
}

function take(fresh) {
  if (now && fresh.version < now.version && fresh.stamp === now.stamp) return;
  const again = now?.version === fresh.version && now.stamp === fresh.stamp;
  if (!again) looks = 0;
  now = laidOut(fresh);
  unitIs(now.units);
  known = fresh.version;
  if (!again) speak(now.said ?? "");
  if (trial && !now.copies.some((c) => c.lines.some((l) => l.id === trial.id))) leave();
  draw();
  lookOn();
}

// leave lets go of a line that is tried.
function leave() {
  live.drop();
  trial = null;
}

let looks = 0; // how often the same was asked again

// lookOn asks again while the server says that there was no time to look at all of it.
function lookOn() {
  if (!now.looking) looks = 0;
  else if (looks++ < 40) setTimeout(() => { if (now?.looking && !trial && !carried) handNow({ hand: known, again: true }); }, 500);
}

let drawing = false; // an element that goes may lose the keys, and that asks to draw

function draw() {
  by("hand-none").hidden = Boolean(now?.copies.length);
  by("hand-work").hidden = !now?.copies.length;
  if (drawing) return drawSoon();
  if (!now?.copies.length || carried || by("hand-piece").clientWidth < 120) return;
  drawing = true;
  try {
    drawAll();
  } finally {
    drawing = false;
  }
}

function drawAll() {
  if (!copyOf()) piece = now.copies[0].id;
  if (!partOf(picked)) picked = null;
  const copy = { ...copyOf(), lines: linesOf(copyOf()) }, parts = partsOf(copy);
  if (!copy.lines.some((l) => l.id === line)) line = copy.lines[0]?.id ?? null;

  drawBar();
  join(by("hand-copies"), now.copies, (c) => c.id, (c) => copyButton(c.id), (b, c) => {
    const its = partsOf(c), laid = its.filter((p) => p.on).length;
    pictureOf(b.firstChild, { ...c, lines: linesOf(c) }, its, now.scraps);
    text(b.children[1], short(c.label));
    text(b.children[2], its.some((p) => p.on && !fine(p.on)) ? "! lies wrong" : laid === its.length ? "✓ laid" : its.length > 1 ? `${laid} of ${its.length} laid` : "not laid");
    set(b, { "aria-pressed": String(c.id === piece), title: c.label });
  });

  const wide = by("hand-piece").clientWidth;
  const current = offer ?? copy.lines.find((l) => l.id === line);
  drawPiece(by("hand-piece").firstElementChild, { piece: copy, parts, scraps: now.scraps, current, picked, width: wide, height: Math.min(520, Math.max(300, innerHeight * 0.6)) }, lines);
  drawLines(copy);
  drawWays(copy);
  drawCards(by("hand-cards"), { parts, scraps: now.scraps, picked }, hands);

  const loose = now.parts.filter((p) => !p.on);
  by("hand-tray").hidden = loose.length === 0;
  join(by("hand-loose"), loose, (p) => p.name, (p) => html("li", {}, buttonOf(p, hands)), (li, p) => drawButton(li.firstChild, p, picked));
  drawScraps(place, { scraps: now.scraps, parts: now.parts, picked, width: place.clientWidth, closer }, hands);
  drawEnd(loose.length);
}

let soon = 0;

// drawSoon draws with the next picture that the browser shows, however often a pointer moves before.
function drawSoon() {
  soon ||= requestAnimationFrame(() => { soon = 0; draw(); });
}

function drawBar() {
  const { step, far } = one();
  text(by("hand-keys"), `With keys: arrows move a seam or a part by ${length(step)}; by ${length(far)} a seam with Page Up and Page Down, a part with Shift. T turns a part, Escape puts it back, Ctrl-Z undoes.`);
  by("hand-undo").disabled = !now.undo;
  by("hand-redo").disabled = !now.redo;
  by("hand-clear").disabled = !now.copies.some((c) => c.lines.length) && !now.parts.some((p) => p.on);
}

function drawEnd(loose) {
  text(by("hand-count"), loose === 0 ? `All ${now.parts.length} parts lie on scraps.` : `${count(now.parts.length - loose, "part")} of ${now.parts.length} on scraps, ${loose} to go.`);
  by("hand-write").disabled = loose > 0 || now.done === false;
  by("hand-lost").hidden = !now.lost;
  text(by("hand-lost"), now.lost ?? "");
  by("hand-finish").hidden = loose === 0;
}

function copyButton(id) {
  const b = html("button", { type: "button", "data-copy": id }, svg("svg"), html("span"), html("small"));
  b.addEventListener("click", () => {
    piece = id;
    picked = line = null;
    draw();
  });
  return b;
}

function drawLines(copy) {
  join(by("hand-lines"), copy.lines, (l) => l.id, (l) => {
    const gone = html("button", { type: "button", class: "plain" }, "remove it", html("span", { class: "unseen" }));
    gone.addEventListener("click", async () => {
      if (await make("remove", { line: l.id })) by("hand-ways").querySelector("button")?.focus();
    });
    return html("li", {}, html("span"), gone);
  }, (li, l) => {
    text(li.firstChild, `${l.name[0].toUpperCase()}${l.name.slice(1)}, ${at(l)}; ${range(l)} `);
    text(li.lastChild.lastChild, `: ${l.name}, ${at(l)}`);
  });
}

let ways = []; // that are offered

// The part that a seam would be added to.
const partToCut = (copy) => copy.parts.includes(picked) ? picked : copy.parts[0];

function drawWays(copy) {
  const part = partToCut(copy), choice = by("hand-part");
  join(choice, copy.parts, (name) => name, (name) => html("option", { value: name }), (e, name) => text(e, short(name, 40)));
  choice.value = part;
  choice.parentElement.hidden = copy.parts.length < 2;
  ways = copy.ways.filter((w) => (w.part ?? part) === part);
  if (copy.shoulder && !copy.lines.some((l) => l.way === "shoulder")) ways.push({ way: "shoulder", name: "shoulder seam, moved" });
  join(by("hand-ways"), ways, (w) => w.way, ({ way }) => {
    const b = html("button", { type: "button", "data-way": way });
    const shown = (on) => () => {
      offer = on ? ways.find((w) => w.way === way && "from" in w) ?? null : null;
      drawSoon();
    };
    b.addEventListener("pointerenter", shown(true));
    b.addEventListener("pointerleave", shown(false));
    b.addEventListener("focus", shown(true));
    b.addEventListener("blur", shown(false));
    b.addEventListener("click", () => add(ways.find((w) => w.way === way)));
    return b;
  }, (b, w) => text(b, wayName(w)));
}

by("hand-part").addEventListener("change", (event) => {
  picked = event.target.value;
  draw();
});

// add adds a line where it is welcome, or in the midst of its range, and gives it the keys.
async function add(w) {
  const copy = copyOf(), had = copy.lines.map((l) => l.id);
  offer = null;
  const done = w.way === "shoulder"
    ? await make("shoulder", { copy: copy.id, by: Math.min(20, copy.shoulder.to) || copy.shoulder.from })
    : await make("line", { copy: copy.id, part: partToCut(copy), way: w.way, at: w.welcome?.[0] ?? num((w.from + w.to) / 2) });
  const fresh = done && copyOf()?.lines.find((l) => !had.includes(l.id));
  if (!fresh) return;
  line = fresh.id;
  draw();
  by("hand-piece").querySelector(`[data-line="${CSS.escape(fresh.id)}"]`)?.focus({ preventScroll: true });
}

// lines is what is done with seam lines.
const lines = {
  line: (id) => now?.copies.length ? linesOf(copyOf()).find((l) => l.id === id) : undefined,
  move(id, to) {
    if (trial?.id !== id) trial = { id };
    trial.at = to;
    line = id;
    drawSoon();
    live.ask({ line: id, at: to });
  },
  async put(id, to) {
    live.drop();
    await make("move", { line: id, at: to });
    if (trial?.at === to) trial = null;
    draw();
  },
  back() {
    leave();
    draw();
  },
  shapeOf(name) {
    const e = dragged(svg("path"));
    e.addEventListener("pointerdown", (event) => hands.carry(event, e.dataset.part ?? name));
    return e;
  },
};

// hands is what is done with parts.
const hands = {
  pick(name) {
    const part = partOf(name);
    if (!part) return;
    picked = name;
    piece = part.copy;
    draw();
    const row = by("hand-cards").querySelector(`[data-pick="${CSS.escape(name)}"]`)?.closest("li").querySelector(".hand-row");
    (row?.querySelector(".hand-chip.fits") ?? row?.querySelector("button"))?.focus({ preventScroll: false });
  },
  aim(name) {
    if (picked === name || carried) return;
    picked = name;
    draw();
  },
  async lay(name, scrap) {
    const part = partOf(name);
    if (!part) return;
    picked = name;
    if (await make("place", { part: name, scrap })) place.querySelector(`[data-laid="${CSS.escape(name)}"]`)?.focus();
  },
  async lift(name) {
    picked = name;
    if (await make("lift", { part: name })) by("hand-loose").querySelector(`[data-pick="${CSS.escape(name)}"]`)?.focus({ preventScroll: true });
  },
  async turn(name) {
    const on = partOf(name)?.on;
    if (!on || !await make("place", { part: name, scrap: on.scrap, x: on.x, y: on.y, turn: on.turn + 180 })) return;
    if (partOf(name)?.on?.turn === on.turn) speak(`${name} can lie this way only on ${scrapOf(on.scrap).name}.`);
  },
  nudge(name, by) {
    const on = partOf(name)?.on;
    if (!by || !on) return live.drop();
    live.ask({ part: name, scrap: on.scrap, x: num(on.x + by.x), y: num(on.y + by.y), turn: on.turn, snap: "no" });
  },
  async nudged(name, by, done) {
    const on = partOf(name)?.on;
    live.drop();
    if (on) await make("place", { part: name, scrap: on.scrap, x: num(on.x + by.x), y: num(on.y + by.y), turn: on.turn, snap: "no" });
    done();
  },
  carry(event, name) {
    const part = partOf(name);
    if (!part) return;
    const held = event.currentTarget, on = part.on, turn = on?.turn ?? 0;
    const onScrap = held.classList.contains("hand-laid");
    let grab = [0, 0];
    if (held.ownerSVGElement) {
      const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(held.ownerSVGElement.getScreenCTM().inverse());
      const h = onScrap ? [on.x, on.y] : part.handle;
      grab = [p.x - h[0], p.y - h[1]];
    }
    event.preventDefault();
    const says = carry(event, {
      shape: onScrap ? on.d : part.d, handle: onScrap ? [on.x, on.y] : part.handle, grab,
      to: () => scaleOf(place),
      find: (x, y) => under(place, x, y),
      over(where) {
        if (!carried) {
          picked = name;
          draw();
          carried = { name, says };
          held.classList.add("taken");
        }
        if (!where) {
          live.drop();
          would(place, null);
          says("");
        }
        if (carried.scrap !== where?.scrap) {
          would(place, where?.scrap);
          says("");
        }
        carried.scrap = where?.scrap;
        if (!where) return;
        live.ask({ part: name, scrap: where.scrap, x: where.x, y: where.y, turn });
      },
      async end(how, where) {
        live.drop();
        carried = null;
        held.classList.remove("taken");
        would(place, null);
        if (how === "tap") {
          if (onScrap) held.focus({ preventScroll: true });
          else if (held.localName === "path") hands.pick(name);
        } else if (how === "down") {
          await make("place", { part: name, ...where, turn });
        } else if (how === "off" && onScrap) {
          await make("lift", { part: name });
        }
        draw();
      },
    });
  },
};

by("hand-cards").addEventListener("keydown", (event) => {
  if (event.key === "Escape") by("hand-loose").querySelector(`[data-pick="${CSS.escape(picked ?? "")}"]`)?.focus();
});
for (const what of ["undo", "redo", "clear"]) by(`hand-${what}`).addEventListener("click", () => make(what));
by("hand-write").addEventListener("click", () => begin("write"));
by("hand-closer").addEventListener("click", () => { closer = Math.min(4, closer * 1.5); draw(); });
by("hand-farther").addEventListener("click", () => { closer = Math.max(0.4, closer / 1.5); draw(); });
by("hand").addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.target.localName === "input") return;
  const what = { z: event.shiftKey ? "redo" : "undo", Z: "redo", y: "redo" }[event.key];
  if (!what) return;
  event.preventDefault();
  make(what);
});
by("hand-finish").addEventListener("submit", (event) => {
  event.preventDefault();
  const fields = new URLSearchParams();
  const plan = document.querySelector("form[data-post=plan]");
  if (plan) for (const [k, v] of new FormData(plan)) fields.set(k, v);
  for (const [k, v] of new FormData(event.target)) fields.set(k, v);
  begin("finish", fields);
});

async function begin(what, fields) {
  if (await make(what, fields)) begun = "asked";
  askNow();
}

let width = 0;
new ResizeObserver(() => {
  if (by("hand").clientWidth === width) return;
  width = by("hand").clientWidth;
  draw();
}).observe(by("hand"));

let reading = false;
let begun = null; // a search that was begun here

// handNow is told the version that the server has.
export async function handNow(state) {
  const going = Boolean(state.run);
  by("hand").hidden = state.hand === undefined;
  by("hand-going").hidden = !going;
  by("hand-ends").hidden = going;
  if (going) begun = begun && "going";
  else if (begun === "going") {
    begun = null;
    speak("The search has ended; what came of it stands below.");
  }
  const brought = state.changed?.bring ?? bring;
  if (state.hand === undefined || state.hand === known && brought === bring && !state.again || reading) return;
  bring = brought;
  reading = true;
  try {
    take(await read(state.again));
  } catch (fault) {
    leave();
    now = null;
    known = state.hand;
    text(by("hand-none"), fault.message);
    draw();
  } finally {
    reading = false;
  }
}
