// A press that is under way on a button, a link or a box to tick. What is drawn anew takes away what the press was begun
// on, and the click with it: whatever draws waits until the hand has let go. Drags on the picture and sliders go on.
const CONTROLS = "button, a, summary, label, input[type=radio], input[type=checkbox], .tape-svg";
// The click of a finger comes somewhat after it is lifted; a press whose end is never told is over at last.
const AFTER_MS = 80, MOST_MS = 2000;
let waits = null, ended = null, clock = 0;

function over() {
  clearTimeout(clock);
  ended?.();
  waits = ended = null;
}
function begun(one) {
  if (!one.closest?.(CONTROLS)) return;
  over();
  waits = new Promise((done) => { ended = done; });
  clock = setTimeout(over, MOST_MS);
}
function ends(after) {
  if (!waits) return;
  clearTimeout(clock);
  clock = setTimeout(over, after);
}

addEventListener("pointerdown", (event) => begun(event.target), { capture: true });
addEventListener("pointerup", () => ends(AFTER_MS), { capture: true });
addEventListener("pointercancel", () => ends(0), { capture: true });
addEventListener("click", () => ends(0), { capture: true });
addEventListener("keydown", (event) => { if (event.key === " " && !event.repeat) begun(event.target); }, { capture: true });
addEventListener("keyup", (event) => { if (event.key === " ") ends(0); }, { capture: true });
addEventListener("blur", (event) => { if (event.target === window) ends(0); });

// Whether a hand presses something, and when it has let go.
export const isPressed = () => waits !== null;
export async function letGo() {
  while (waits) await waits;
}
