// The scraps, all to one scale, with the parts that lie on them.
import { svg, html, set, text, join, num, short, colour, longest } from "./handdraw.js";
import { fit, fine, lies } from "./handwords.js";
import { laidOf, drawLaid } from "./handlaid.js";

const margin = 8; // px around a scrap

// drawScraps draws them; picked is the part that is being placed, to say where it fits.
export function drawScraps(place, { scraps, parts, picked, width, closer }, does) {
  const widest = Math.max(1, ...scraps.map((s) => s.box[2] - s.box[0])), tallest = Math.max(1, ...scraps.map((s) => s.box[3] - s.box[1]));
  const k = Math.min(Math.min((width * 0.72) / widest, 300 / tallest) * closer, (width - 2 * margin - 2) / widest), u = 1 / k;
  const part = parts.find((p) => p.name === picked), fits = new Map(part?.fits.map((f) => [f.scrap, f])), long = part && longest(part.d);
  join(place, scraps, (s) => s.id, (s) => figureOf(s), (figure, scrap) => {
    const [picture, caption] = figure.children, [x0, y0, x1, y1] = scrap.box, m = margin * u;
    set(picture, { viewBox: [x0 - m, y0 - m, x1 - x0 + 2 * m, y1 - y0 + 2 * m].map(num).join(" "), width: num((x1 - x0) * k + 2 * margin), height: num((y1 - y0) * k + 2 * margin), "data-scale": k, "aria-label": `${scrap.name}, with what lies on it` });
    const [cloth, halo, grain, laid] = picture.children;
    set(cloth, { d: scrap.d, style: `fill:${colour(scrap.colour)}` });
    for (const e of [halo, grain]) set(e, { d: scrap.grain ?? "" });
    const here = parts.filter((p) => p.on?.scrap === scrap.id);
    join(laid, here, (p) => p.name, (p) => laidOf(p.name, does), (e, p) => drawLaid(e, p, scrap, u));
    const [name, verdict, list] = caption.children;
    text(name, short(scrap.name, 60));
    const f = fits.get(scrap.id);
    text(verdict, part ? fit(f, long) : "");
    verdict.className = picked && f?.ok ? "hand-verdict fits" : "hand-verdict";
    verdict.hidden = !picked && here.length > 0;
    figure.classList.toggle("unfit", Boolean(picked) && !f);
    join(list, here, (p) => p.name, (p) => saysOf(p.name, does), (li, p) => {
      const what = li.firstChild;
      text(what, `${short(p.name, 40)} ${lies(p.on)}`);
      what.className = fine(p.on) ? "hand-verdict fits" : "hand-verdict amiss";
    });
  });
}

function figureOf(scrap) {
  return html("figure", { "data-scrap": scrap.id },
    svg("svg", { role: "group" }, svg("path", { class: "laid-cloth", "fill-rule": "evenodd" }), svg("path", { class: "laid-halo" }), svg("path", { class: "laid-grain" }), svg("g"), svg("g", { class: "hand-would", "aria-hidden": "true" })),
    html("figcaption", {}, html("b"), html("p", { class: "hand-verdict" }), html("ul")));
}

function saysOf(part, does) {
  const named = (word) => html("button", { type: "button", class: "plain" }, word, html("span", { class: "unseen" }, ": " + part));
  const turn = named("turn it"), back = named("put it back");
  turn.addEventListener("click", () => does.turn(part));
  back.addEventListener("click", () => does.lift(part));
  return html("li", {}, html("span"), html("span", { class: "hand-acts" }, turn, back));
}

export const sound = (answer) => fine({ ...answer.on, ok: answer.ok });

// under is the scrap at a point of the window, and the place on it in mm.
export function under(place, x, y) {
  for (const figure of place.children) {
    const picture = figure.firstChild, r = picture.getBoundingClientRect();
    if (x < r.left || x > r.right || y < r.top || y > r.bottom) continue;
    const scale = Number(picture.dataset.scale), box = picture.viewBox.baseVal;
    return { scrap: Number(figure.dataset.scrap), x: box.x + (x - r.left) / scale, y: box.y + (y - r.top) / scale, figure };
  }
  return null;
}

// scaleOf is how many pixels a mm is.
export const scaleOf = (place) => Number(place.firstChild?.firstChild.dataset.scale ?? 0.3);

// would shows on a scrap where a part would lie; without an answer it is cleared.
export function would(place, at, answer) {
  for (const figure of place.children) {
    const layer = figure.firstChild.lastChild, here = answer && figure.dataset.scrap === String(at);
    figure.classList.toggle("under", figure.dataset.scrap === String(at));
    if (!here) {
      if (layer.firstChild) layer.replaceChildren();
      continue;
    }
    layer.replaceChildren(svg("path", { class: "rim", d: answer.on.d }), svg("path", { class: sound(answer) ? "sound" : "amiss", d: answer.on.d }));
  }
}
