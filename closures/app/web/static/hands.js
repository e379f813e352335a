// What hands do on the picture: drags and arrow keys.
import { ask, isWorking, newGesture } from "./asking.js";
import { alongAt, placeAt } from "./line.js";
import { byId, picture, worn } from "./names.js";
import { after, drawing } from "./showing.js";

function move(handle, along, gesture) {
  const { what, n, part } = handle.dataset;
  ask(new URLSearchParams({ do: "move", what, n, part, along: along.toFixed(4) }), gesture);
}

// What is dragged follows the hand at once, as a shadow of what is there; the row itself waits for its exact answer.
function follow() {
  if (!drag || !drag.moved) return;
  const handle = byId(drag.id);
  if (!handle) return;
  const [x, y] = placeAt(drag.to), [x0, y0] = placeAt(Number(handle.dataset.along));
  handle.setAttribute("transform", `translate(${(x - x0).toFixed(2)} ${(y - y0).toFixed(2)})`);
  handle.classList.toggle("provisional", Math.hypot(x - x0, y - y0) > 0.5);
}

let drag = null;
if (worn()) {
  picture.addEventListener("pointerdown", (event) => {
    const handle = event.target.closest(".handle");
    if (!handle || event.button) return;
    event.preventDefault();
    handle.focus({ preventScroll: true });
    picture.setPointerCapture(event.pointerId);
    picture.classList.add("dragging");
    drag = { handle, id: handle.id, to: Number(handle.dataset.along), gesture: newGesture("drag"), off: Number(handle.dataset.along) - alongAt(event), moved: false };
  });
  picture.addEventListener("pointermove", (event) => {
    if (!drag) return;
    const to = alongAt(event) + drag.off;
    if (!drag.moved && Math.abs(to - Number(drag.handle.dataset.along)) < 0.5) return;
    drag.moved = true;
    drag.to = to;
    follow();
    move(drag.handle, to, drag.gesture);
  });
  const drop = () => {
    // What the last answer says of it holds, also where the hand went further than a row can.
    if (drag && !isWorking()) byId(drag.id)?.removeAttribute("transform");
    drag = null; picture.classList.remove("dragging");
  };
  picture.addEventListener("pointerup", drop);
  picture.addEventListener("pointercancel", drop);
  picture.addEventListener("click", (event) => {
    const mark = event.target.closest(".mark");
    if (mark && !event.target.closest(".handle")) showMark(mark.id.slice(5), true);
  });
  picture.addEventListener("keydown", arrow);
  // A redraw takes the focus away and gives it back: the hand has not left the handle.
  picture.addEventListener("focusout", () => { if (!drawing.on) keys = null; });
  document.querySelector(".zoom").hidden = false;
}

// Key after key on one handle is one step to undo.
let keys = null;
function arrow(event) {
  const handle = event.target.closest(".handle");
  if (!handle || event.ctrlKey || event.metaKey || event.altKey) return;
  const step = Number(handle.dataset.step), length = Number(worn().dataset.length);
  const steps = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1, PageDown: 10, PageUp: -10 }[event.key];
  if (!keys || keys.id !== handle.id || event.timeStamp - keys.at > 1500)
    keys = { id: handle.id, along: Number(handle.dataset.along), gesture: newGesture("keys") };
  if (event.key === "Home") keys.along = 0;
  else if (event.key === "End") keys.along = length;
  else if (steps) keys.along += steps * step * (event.shiftKey ? 10 : 1);
  else return;
  event.preventDefault();
  keys.at = event.timeStamp;
  keys.along = Math.min(length, Math.max(0, keys.along));
  move(handle, keys.along, keys.gesture);
}


export function showMark(n, row) {
  for (const one of document.querySelectorAll(".shown")) one.classList.remove("shown");
  const mark = byId("mark-" + n), line = byId("row-" + n);
  if (mark) mark.classList.add("shown");
  if (line) line.classList.add("shown");
  (row ? line : picture).scrollIntoView({ block: "nearest" });
  if (row && byId("lock-" + n)) byId("lock-" + n).focus({ preventScroll: true });
  if (!row) picture.focus({ preventScroll: true });
}

after.drawn = follow;
after.refused = () => {
  if (!drag) for (const one of picture.querySelectorAll(".provisional")) {
    one.removeAttribute("transform");
    one.classList.remove("provisional");
  }
};
