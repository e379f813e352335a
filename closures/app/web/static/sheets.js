// The sheets of paper beside the button that prints: how many, and a picture of each, once the picture stands still.
import { isWorking } from "./asking.js";
import { byId } from "./names.js";
import { unfinished } from "./showing.js";

const REST_MS = 700;
let clock = 0, shown = "";

const asked = () => new URLSearchParams(new FormData(byId("keep"))).toString();

function soon() {
  clearTimeout(clock);
  clock = setTimeout(look, REST_MS);
}

async function look() {
  if (isWorking()) return soon();
  const wish = asked();
  if (unfinished() || wish === shown) return;
  try {
    const answer = await fetch(location.pathname + "/sheets?" + wish, { cache: "no-store" });
    if (answer.status === 403) return;
    const html = await answer.text();
    // What was changed meanwhile has other sheets.
    if (asked() !== wish) return soon();
    byId("pages").innerHTML = html;
    byId("pages-told").textContent = byId("pages-count")?.textContent.split(" to print")[0] || "No sheets";
    shown = wish;
  } catch {
    byId("pages-told").textContent = "Sheets";
  }
}

if (byId("keep")) {
  new MutationObserver(soon).observe(byId("at"), { attributes: true });
  new MutationObserver(soon).observe(byId("file-told"), { attributes: true });
  byId("keep").addEventListener("change", soon);
  soon();
}
// A panel that hangs from the bar closes with Escape, and when the hand goes elsewhere.
const panels = [...document.querySelectorAll("details.panel")];
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  const open = panels.find((one) => one.open && one.contains(document.activeElement));
  if (open) { open.open = false; open.querySelector("summary").focus(); }
});
document.addEventListener("pointerdown", (event) => {
  for (const one of panels) if (one.open && !one.contains(event.target)) one.open = false;
});

// In a narrow window what is chosen for the print is folded away, and a message is never scrolled beneath the bar.
const bar = document.querySelector(".bar"), how = byId("d-how"), narrow = matchMedia("(max-width: 60rem)");
if (how) {
  const fold = () => { how.open = !narrow.matches; };
  narrow.addEventListener("change", fold);
  fold();
}
// What is held at the window's edge while the rest is scrolled never lies on what has the focus: two rows that are compared,
// and, on a phone, what is said of the last change.
const root = document.documentElement, holds = [byId("compare"), byId("said-above")].filter(Boolean);
const isHeld = (one) => ["fixed", "sticky"].includes(getComputedStyle(one).position);
const keepFree = new ResizeObserver(() => root.style.setProperty("--beside-height", holds.reduce((sum, one) => sum + (isHeld(one) ? one.offsetHeight : 0), 0) + "px"));
for (const one of holds) keepFree.observe(one);
if (bar) new ResizeObserver(() => root.style.setProperty("--bar-height", bar.offsetHeight + "px")).observe(bar);
