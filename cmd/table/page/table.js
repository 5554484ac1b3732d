// The cutting table's page: it asks what has changed, sets the sections that have,
// and carries what is pressed, filled in and dropped to the server.
import { follow } from "./follow.js";
import { send, bring } from "./send.js";
import { fetchSection, choose } from "./sections.js";
import "./draw.js";

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (!button) return;
  if (button.dataset.piece !== undefined) {
    choose(button.dataset.piece);
    fetchSection("wish");
  } else if (button.dataset.post) {
    const fields = new URLSearchParams();
    for (const name of ["name", "wish"]) {
      if (button.dataset[name] !== undefined) fields.set(name, button.dataset[name]);
    }
    button.disabled = true;
    send(button.dataset.post, fields).finally(() => { button.disabled = false; });
  }
});

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.dataset.post) return;
  event.preventDefault();
  send(form.dataset.post, new URLSearchParams(new FormData(form))).then((done) => {
    if (done && form.dataset.post === "wish") form.reset();
  });
});

document.addEventListener("change", (event) => {
  const input = event.target;
  if (input.type !== "file") return;
  bring(input.closest(".drop").dataset.as, [...input.files]);
  input.value = "";
});

for (const kind of ["dragenter", "dragover", "dragleave", "drop"]) {
  document.addEventListener(kind, (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault(); // a file dropped beside would take the page's place
    const here = event.target.closest?.(".drop");
    for (const drop of document.querySelectorAll(".drop")) {
      drop.classList.toggle("over", drop === here && (kind === "dragenter" || kind === "dragover"));
    }
    if (here && kind === "drop") bring(here.dataset.as, [...event.dataTransfer.files]);
  });
}

follow();
