// Which line of a drawing is the edge, and which part of it.
import { byId } from "./names.js";

export function choose(n) {
  byId("line-" + n).checked = true;
  if (byId("line-" + n).hasAttribute("data-closed")) byId("d-part").open = true;
  // Only the list is scrolled, never the page: the picture stays under the hand for the next click.
  const list = byId("line-" + n).closest("ol"), row = byId("line-" + n).closest("li");
  list.scrollTop = row.offsetTop - list.offsetTop - (list.clientHeight - row.offsetHeight) / 2;
  for (const one of document.querySelectorAll(".line, .corner"))
    one.classList.toggle("chosen", one.dataset.n === String(n));
}

// The first corner that is clicked is where the edge begins, the next one where it ends.
function part(corner) {
  choose(corner.dataset.n);
  const from = byId("f-edge.from"), to = byId("f-edge.to");
  if (from.value && !to.value) to.value = corner.dataset.at;
  else { from.value = corner.dataset.at; to.value = ""; }
  byId("d-part").open = true;
  parted();
}

export function parted() {
  for (const one of document.querySelectorAll(".corner"))
    for (const end of ["from", "to"]) one.classList.toggle(end, byId("f-edge." + end).value === one.dataset.at);
}


document.addEventListener("click", (event) => {
  const line = event.target.closest(".line"), corner = event.target.closest(".corner");
  if (line) choose(line.dataset.n);
  if (corner) part(corner);
});

const chosen = document.querySelector('input[name="edge.path"][type=radio]:checked');
if (chosen) choose(chosen.id.split("-")[1]);
if (byId("d-part")) parted();
