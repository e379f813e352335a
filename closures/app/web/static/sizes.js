// Through the sizes of a plan.
import { change, isWorking, newGesture } from "./asking.js";
import { byId } from "./names.js";
import { letGo } from "./pressing.js";
import { put } from "./showing.js";

// The slider is the list of sizes again, for a hand.
const slide = byId("size-slide"), size = byId("size");
if (slide) {
  slide.hidden = false;
  let gesture = newGesture("sizes");
  const look = (gesture) => change({ do: "size", size: size.value }, gesture);
  slide.addEventListener("input", () => {
    size.selectedIndex = Number(slide.value);
    slide.setAttribute("aria-valuetext", size.value);
    look(gesture);
  });
  slide.addEventListener("change", () => { gesture = newGesture("sizes"); });
  size.addEventListener("change", () => { slide.value = String(size.selectedIndex); look(""); });
}


// All sizes beside each other, once the picture stands still.
const REST_MS = 400, grid = byId("run-grid");
let clock = 0;
function soon() {
  clearTimeout(clock);
  clock = setTimeout(beside, REST_MS);
}
async function beside() {
  if (isWorking()) return soon();
  const at = byId("at").value;
  try {
    const answer = await fetch(location.pathname + "/sizes", { cache: "no-store" }), html = await answer.text();
    await letGo();
    if (byId("at").value !== at) return soon();
    if (answer.status === 403) return;
    put("run-grid", html);
  } catch {
    // Said where the change was asked for; the next answer brings the sizes.
  }
}
if (grid) {
  new MutationObserver(soon).observe(byId("at"), { attributes: true });
  soon();
}
