// A part that lies on a scrap: taken up again by hand, or moved, turned and put back by keys.
import { svg, set, text, num, short, dragged } from "./handdraw.js";
import { one } from "./handunits.js";
import { fine, lies } from "./handwords.js";

const rest = 600; // ms without a key before a part is put down
const ahead = new Map(); // by how much keys have moved a part that is not put down yet

export function laidOf(name, does) {
  const g = dragged(svg("g", { class: "hand-laid", role: "button", tabindex: 0, "data-laid": name, "aria-describedby": "hand-keys" }, svg("path"), svg("text", { class: "words hand-name", "aria-hidden": "true" })));
  let timer = 0;
  const shift = () => {
    const by = ahead.get(name);
    set(g, { transform: by ? `translate(${by.x} ${by.y})` : null });
  };
  const settle = () => {
    clearTimeout(timer);
    timer = 0;
    const by = ahead.get(name);
    if (by) does.nudged(name, by, () => { ahead.delete(name); shift(); });
  };
  const leave = () => {
    clearTimeout(timer);
    timer = 0;
    const was = ahead.delete(name);
    shift();
    return was;
  };
  g.addEventListener("pointerdown", (event) => { settle(); does.carry(event, name); });
  g.addEventListener("focus", () => does.aim(name));
  g.addEventListener("blur", settle);
  g.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const step = event.shiftKey ? one().far : one().step;
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (way) {
      event.preventDefault();
      const by = ahead.get(name) ?? { x: 0, y: 0 };
      ahead.set(name, { x: by.x + way[0] * step, y: by.y + way[1] * step });
      shift();
      does.nudge(name, ahead.get(name));
      clearTimeout(timer);
      timer = setTimeout(settle, rest);
    } else if (event.key === "t" || event.key === "T") {
      event.preventDefault();
      leave();
      does.turn(name);
    } else if (event.key === "Escape" || event.key === "Delete" || event.key === "Backspace") {
      event.preventDefault();
      if (!leave() || event.key !== "Escape") does.lift(name);
      else does.nudge(name, null);
    } else if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      settle();
      does.pick(name);
    }
  });
  return g;
}

export function drawLaid(g, part, scrap, u) {
  const on = part.on, sound = fine(on), [shape, name] = g.children;
  set(g, { "aria-label": `${part.name} on ${scrap.name}, ${lies(on)}` });
  g.classList.toggle("amiss", !sound);
  set(shape, { class: "laid-part", d: on.d });
  set(name, { x: num(on.x), y: num(on.y), "font-size": num(11 * u) });
  text(name, (sound ? "" : "! ") + short(part.name, 18));
}
