// What hands do: drag and arrow keys on the picture, redraws while typing. Without it every button still works.
import { change } from "./asking.js";
import "./choosing.js";
import "./fields.js";
import { showMark } from "./hands.js";
import { byId } from "./names.js";
import { held, toWhatHolds, unfinished } from "./showing.js";
import "./sheets.js";
import "./sizes.js";
import "./ticks.js";
import "./tape.js";
import "./traced.js";
import "./zoom.js";
import "./laid.js";
import "./left.js";
import "./garment.js";
import "./kept.js";

document.addEventListener("click", (event) => {
  const held_back = event.target.closest("a[data-prints]");
  if (held_back && unfinished()) {
    event.preventDefault();
    held();
    toWhatHolds();
  }
  const link = event.target.closest('a[href^="#mark-"]');
  if (link) { event.preventDefault(); showMark(link.hash.slice(6)); }
});

document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || !byId("undo")) return;
  // In a field that is written in, the keys undo what was written there.
  if (document.activeElement.matches("textarea, input:not([type=radio], [type=range])")) return;
  const key = event.key.toLowerCase(), back = key === "z" && !event.shiftKey;
  if (!back && key !== "y" && !(key === "z" && event.shiftKey)) return;
  event.preventDefault();
  change({ do: back ? "undo" : "redo" });
});


// From here on nothing that a hand does is lost.
document.body.classList.add("ready");
