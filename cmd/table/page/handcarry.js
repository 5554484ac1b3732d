// A part is carried by the pointer, from where it is to a scrap or off one.
import { svg, html, text, num, boxOf } from "./handdraw.js";

const slack = 4; // px that a press may move without carrying

// carry begins where a pointer goes down on a part that has a shape and a handle; grab
// is from its handle to the pointer, in mm. to is how large scraps are drawn, find what
// lies under a point. over is told where the part would lie, and end how it ended: "tap",
// "down" with the place, "off", or "back". What it gives says a word beside the part.
export function carry(event, { shape, handle, grab, to, find, over, end }) {
  if (event.button !== 0) return null;
  const held = event.currentTarget, pointer = event.pointerId, x0 = event.clientX, y0 = event.clientY;
  let ghost = null, word = null, x = x0, y = y0, frame = 0, done = false;
  held.setPointerCapture(pointer);

  function begin() {
    const b = boxOf(shape), k = to(), m = 3 / k;
    ghost = svg("svg", { class: "hand-ghost", "aria-hidden": "true", viewBox: [b[0] - m, b[1] - m, b[2] - b[0] + 2 * m, b[3] - b[1] + 2 * m].map(num).join(" "), width: num((b[2] - b[0]) * k + 6), height: num((b[3] - b[1]) * k + 6) }, svg("path", { class: "laid-part", d: shape }));
    word = html("p", { class: "hand-word", "aria-hidden": "true", hidden: "" });
    document.body.append(ghost, word);
    document.documentElement.classList.add("carrying");
    const left = (grab[0] + handle[0] - b[0] + m) * k, top = (grab[1] + handle[1] - b[1] + m) * k;
    ghost.follow = () => {
      ghost.style.transform = `translate(${x - left}px, ${y - top}px)`;
      word.style.transform = `translate(${Math.max(4, Math.min(innerWidth - word.offsetWidth - 4, x + 14))}px, ${Math.max(4, y - 44)}px)`;
    };
  }

  // at is where the part's handle would be, or null beside all scraps.
  function at() {
    const here = find(x, y);
    return here && { scrap: here.scrap, x: num(here.x - grab[0]), y: num(here.y - grab[1]) };
  }

  // Near an edge of the window, or of the scraps, what is beyond it comes into sight.
  function roll() {
    const room = 48, most = 14, box = document.querySelector(".hand-cloth").getBoundingClientRect();
    const pull = (top, bottom) => y < top + room ? -most : y > bottom - room ? most : 0;
    const cloth = document.querySelector(".hand-cloth");
    const inside = x > box.left && x < box.right && cloth.scrollHeight > cloth.clientHeight + 1;
    const by = inside ? pull(Math.max(0, box.top), Math.min(innerHeight, box.bottom)) : pull(0, innerHeight);
    if (by) {
      (inside ? cloth : window).scrollBy(0, by);
      over(at());
    }
    frame = requestAnimationFrame(roll);
  }

  function move(event) {
    if (event.pointerId !== pointer) return;
    x = event.clientX;
    y = event.clientY;
    if (!ghost) {
      if (Math.hypot(x - x0, y - y0) <= slack) return;
      begin();
      frame = requestAnimationFrame(roll);
    }
    event.preventDefault();
    ghost.follow();
    over(at());
  }
  function finish(how, where) {
    if (done) return;
    done = true;
    cancelAnimationFrame(frame);
    ghost?.remove();
    word?.remove();
    document.documentElement.classList.remove("carrying");
    for (const [kind, f] of heard) held.removeEventListener(kind, f);
    document.removeEventListener("keydown", key, true);
    if (ghost) {
      const swallow = (event) => { event.stopPropagation(); event.preventDefault(); };
      held.addEventListener("click", swallow, { capture: true, once: true });
      setTimeout(() => held.removeEventListener("click", swallow, { capture: true }), 0);
    }
    end(how, where);
  }
  function up(event) {
    if (event.pointerId !== pointer) return;
    if (!ghost) return finish("tap");
    const where = at();
    finish(where ? "down" : "off", where);
  }
  function key(event) {
    if (event.key !== "Escape") return;
    event.preventDefault();
    event.stopPropagation();
    finish("back");
  }
  const heard = [["pointermove", move], ["pointerup", up], ["pointercancel", () => finish("back")], ["lostpointercapture", () => finish("back")]];
  for (const [kind, f] of heard) held.addEventListener(kind, f);
  document.addEventListener("keydown", key, true);
  return (says, sound) => {
    if (!word) return;
    word.hidden = !says;
    text(word, says);
    word.className = sound ? "hand-word sound" : "hand-word";
    ghost.follow();
  };
}
