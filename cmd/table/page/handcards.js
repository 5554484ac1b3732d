// Parts beside the scraps that each may be cut from, and how well it fits each of them.
import { svg, html, set, text, join, icon, boxOf, longest, colour, short } from "./handdraw.js";
import { fine, fit, lies } from "./handwords.js";

// buttonOf is a part to take hold of, by hand or by keys.
export function buttonOf(part, does) {
  const b = html("button", { type: "button", class: "hand-pick", "data-pick": part.name }, html("span", { class: "hand-icon" }), html("span", { class: "hand-what" }));
  b.addEventListener("pointerdown", (event) => does.carry(event, part.name));
  b.addEventListener("click", () => does.pick(part.name));
  return b;
}

export function drawButton(b, part, picked) {
  const [holder, what] = b.children;
  if (holder.dataset.d !== part.d) {
    holder.dataset.d = part.d;
    holder.replaceChildren(icon(boxOf(part.d), 34, svg("path", { class: "laid-part", d: part.d })));
  }
  text(what, short(part.name, 40));
  set(b, { title: part.name, "aria-pressed": String(part.name === picked) });
}

// drawCards draws a row of scraps for each part.
export function drawCards(ul, { parts, scraps, picked }, does) {
  const scrapOf = new Map(scraps.map((s) => [s.id, s]));
  join(ul, parts, (p) => p.name, (p) => cardOf(p, does), (li, part) => {
    const [head, row] = li.children, [button, where] = head.children;
    drawButton(button, part, picked);
    const long = longest(part.d), fits = part.fits.filter((f) => f.ok).length, on = part.on && scrapOf.get(part.on.scrap);
    text(where, on ? `lies on ${short(on.name, 40)}` : fits === 0 ? part.fits.some((f) => f.atmost) ? "looking where it fits" : "fits no scrap" : fits === 1 ? "fits 1 scrap" : `fits ${fits} scraps`);
    set(row, { "aria-label": `Scraps for ${part.name}` });
    join(row, part.fits.filter((f) => scrapOf.has(f.scrap)), (f) => f.scrap, (f) => chipOf(part.name, f.scrap, does), (item, f) => {
      const scrap = scrapOf.get(f.scrap), chip = item.firstChild, [holder, name, verdict] = chip.children;
      if (holder.dataset.d !== scrap.d + scrap.colour) {
        holder.dataset.d = scrap.d + scrap.colour;
        holder.replaceChildren(icon(scrap.box, 26, svg("path", { d: scrap.d, class: "laid-cloth", "fill-rule": "evenodd", style: `fill:${colour(scrap.colour)}` })));
      }
      text(name, short(scrap.name, 40));
      const here = part.on?.scrap === f.scrap, ok = here ? fine(part.on) : f.ok, says = here ? ok ? "lies here" : lies(part.on) : fit(f, long);
      text(verdict, says);
      chip.classList.toggle("fits", ok);
      set(chip, { "aria-pressed": String(here), title: `Lay ${part.name} on ${scrap.name}`, "aria-label": `Lay ${part.name} on ${scrap.name}: ${says}` });
    });
  });
}

function cardOf(part, does) {
  return html("li", { class: "hand-card" }, html("p", { class: "hand-of" }, buttonOf(part, does), html("span", { class: "note" })), html("ul", { class: "hand-row" }));
}

function chipOf(part, scrap, does) {
  const chip = html("button", { type: "button", class: "hand-chip", "data-chip": `${scrap} ${part}` }, html("span", { class: "hand-icon" }), html("span", { class: "hand-what" }), html("span", { class: "hand-verdict" }));
  chip.addEventListener("click", () => does.lay(part, scrap));
  return html("li", {}, chip);
}
