// Sections are made by the server; here they are set into the page, with what was
// being filled in, and where the keys were, kept.

let piece = ""; // that was pointed at, in this page

export function choose(name) {
  piece = piece === name ? "" : name;
}

// mark tells one control of a section from the others.
function mark(e) {
  if (!e) return null;
  if (e.id) return "#" + CSS.escape(e.id);
  const named = ["data-piece", "data-post", "data-name", "data-wish", "data-draw"].filter((a) => e.hasAttribute(a)).map((a) => `[${a}="${CSS.escape(e.getAttribute(a))}"]`).join("");
  if (named) return e.localName + named;
  if (e.name) return `${e.localName}[name="${CSS.escape(e.name)}"]` + (e.type === "radio" ? `[value="${CSS.escape(e.value)}"]` : "");
  if (e.type === "file") return `[data-as="${e.closest(".drop").dataset.as}"] input`;
  return null;
}

const asked = {};

export async function fetchSection(name) {
  const at = document.querySelector(`[data-section="${name}"]`);
  const turn = asked[name] = (asked[name] ?? 0) + 1;
  let answer;
  try {
    answer = await fetch(`/section/${name}?` + new URLSearchParams({ piece }));
  } catch {
    return;
  }
  const html = await answer.text();
  if (turn !== asked[name]) return; // a later answer is on its way
  const focused = at.contains(document.activeElement) ? mark(document.activeElement) : null;
  const filled = [...at.querySelectorAll("input:not([type=file]):not([type=hidden]), select")].map((e) => {
    const touched = e.localName === "select" ? [...e.options].some((o) => o.selected !== o.defaultSelected) : e.type === "radio" || e.type === "checkbox" ? e.checked !== e.defaultChecked : e.value !== e.defaultValue;
    return touched && mark(e) ? [mark(e), e.value, e.checked] : null;
  }).filter(Boolean);
  const open = [...at.querySelectorAll("details[open]")].map((e) => mark(e)).filter(Boolean);
  if (answer.ok) {
    at.innerHTML = html; // escaped by the server; scripts in it do not run
  } else {
    at.textContent = html;
  }
  for (const where of open) {
    const e = at.querySelector(where);
    if (e) e.open = true;
  }
  for (const [where, value, checked] of filled) {
    const e = at.querySelector(where);
    if (!e) continue;
    if (e.type === "radio" || e.type === "checkbox") e.checked = checked;
    else e.value = value;
  }
  if (focused) at.querySelector(focused)?.focus({ preventScroll: true });
}
