// Through the sizes of a plan.
import { change, newGesture } from "./asking.js";
import { byId } from "./names.js";

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

