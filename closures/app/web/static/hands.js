// What hands do on the picture: take hold of a closure, a fixed place or a clear stretch; drags and keys.
import { aimAt } from "./aimed.js";
import { ask, change, goesOn, isWorking, newGesture } from "./asking.js";
import { alongAt, lies, lineLength, nearest, placeAt } from "./line.js";
import { byId, picture, worn } from "./names.js";
import { looks, same, things } from "./same.js";
import { after, drawing, settle, stir, units } from "./showing.js";

const MOUSE_REACH = 14, FINGER_REACH = 22, INCH = 25.4;
let drag = null, keys = null, caretAt = null, inHand = "", took = false;
// What the hand held in each picture since it took hold: a step that is taken back brings that picture again.
let trail = new Map(), leaving = null;

function move({ handle, aim, gesture, isByStep = false }, along) {
  const { what, n, part } = handle.dataset, fields = new URLSearchParams({ do: "move", what, n, part, along: along.toFixed(4) });
  ask(Object.assign(fields, { aim, isByStep }), gesture);
}

// What is dragged follows the hand at once, as a shadow of what is there; the row itself waits for its exact answer.
function follow() {
  if (!drag || !drag.moved) return;
  const handle = byId(drag.aim.id);
  if (!handle) return;
  const [x, y] = placeAt(drag.to), [x0, y0] = placeAt(Number(handle.dataset.along));
  handle.setAttribute("transform", `translate(${(x - x0).toFixed(2)} ${(y - y0).toFixed(2)})`);
  handle.classList.toggle("provisional", Math.hypot(x - x0, y - y0) > 0.5);
}

const middle = (one) => {
  const box = (one.querySelector(".hold, .halo") || one).getBoundingClientRect();
  return [box.left + box.width / 2, box.top + box.height / 2];
};

// What a finger can hit is larger than what is drawn: the nearest thing within its reach is meant.
function under(event) {
  const reach = event.pointerType === "touch" ? FINGER_REACH : MOUSE_REACH;
  let best = reach, found = null;
  for (const one of picture.querySelectorAll(".handle")) {
    const [x, y] = middle(one), far = Math.hypot(event.clientX - x, event.clientY - y);
    if (far < best) { best = far; found = one; }
  }
  return found || event.target.closest(".handle");
}

const closest = (along) => [...picture.querySelectorAll(".mark.handle")].reduce((best, one) =>
  !best || Math.abs(one.dataset.along - along) < Math.abs(best.dataset.along - along) ? one : best, null);

function tell(one, before = "") {
  const told = byId("told"), name = one?.getAttribute("aria-label") || (one && `mark ${one.id.slice(5)}`);
  const text = before + (one ? `${name}: ${one.dataset.told || one.getAttribute("aria-valuetext")}` : "");
  if (told.textContent !== text) told.textContent = text;
}
// What the pointer is over is told first, then what is in hand.
const look = (one) => { if (!drag) tell(one || byId(inHand)); };

export function take(handle) {
  if (!handle || handle.id !== inHand) trail = new Map(handle ? [[looks(things()), handle.id]] : []);
  hold(handle);
}

function hold(handle, before = "") {
  inHand = handle ? handle.id : "";
  if (!byId("told")) return;
  const mark = handle?.dataset.what === "mark", buttons = [byId("hold-lock"), byId("hold-out")];
  const pressed = buttons.find((one) => one === document.activeElement);
  tell(handle, before);
  byId("hold-lock").disabled = !mark;
  byId("hold-lock").textContent = mark && handle.classList.contains("locked") ? "Unlock" : "Lock";
  byId("hold-out").disabled = !handle || handle.id === "caret";
  // A button that goes dead under the hand passes the focus on.
  if (pressed?.disabled) (handle || picture).focus({ preventScroll: true });
  for (const one of document.querySelectorAll(".shown")) one.classList.remove("shown");
  if (mark) {
    handle.classList.add("shown");
    byId("row-" + handle.dataset.n)?.classList.add("shown");
  }
}

function lock(handle) {
  change({ do: (handle.classList.contains("locked") ? "unlock " : "lock ") + handle.dataset.n });
}

// A key that is pressed once more before the answer came takes nothing else out.
function takeOut(handle) {
  if (leaving?.id === handle.id) return;
  leaving = aimAt(handle);
  const fields = new URLSearchParams({ do: `without ${handle.dataset.what} ${handle.dataset.n}` });
  ask(Object.assign(fields, { aim: leaving }), "", () => { leaving = null; });
}

function add(along) {
  const what = byId("adds").value;
  if (what) change({ do: "set " + what, along: along.toFixed(4) }, "", (parts) => {
    const made = parts.ok && what === "mark" ? closest(along) : null;
    if (made) take(made);
    // What a click added is in hand for the keys too; who adds by keys stays where the next one is added.
    if (made && document.activeElement?.id !== "caret") made.focus({ preventScroll: true });
  });
}

const alongTold = (along) => (units() === "in" ? (along / INCH).toFixed(2) + " in" : along.toFixed(1) + " mm") + " along the line";

// The place on the line where keys add something: it is there while the row can be changed.
function caret() {
  byId("caret")?.remove();
  const canMove = worn() && picture.querySelector(".mark.handle") !== null;
  byId("hold").classList.toggle("still", !canMove);
  if (!canMove) return;
  if (caretAt === null) caretAt = lineLength() / 2;
  const made = document.createElementNS("http://www.w3.org/2000/svg", "g"), [x, y] = placeAt(caretAt);
  const ring = document.createElementNS("http://www.w3.org/2000/svg", "circle"), told = alongTold(caretAt);
  const says = { id: "caret", class: "handle", role: "slider", tabindex: 0, "aria-label": "Place on the line, Enter adds here",
    "aria-orientation": "vertical", "aria-valuemin": 0, "aria-valuemax": lineLength().toFixed(1), "aria-valuenow": caretAt.toFixed(1),
    "aria-valuetext": told, "data-what": "caret", "data-along": caretAt, "data-step": units() === "in" ? INCH / 16 : 1 };
  for (const [name, value] of Object.entries(says)) made.setAttribute(name, value);
  const reach = ring.cloneNode();
  for (const [name, value] of Object.entries({ r: 6, class: "hold" })) ring.setAttribute(name, value);
  for (const [name, value] of Object.entries({ cx: x, cy: y, r: 0.1, class: "reach" })) reach.setAttribute(name, value);
  const hung = document.createElementNS("http://www.w3.org/2000/svg", "g");
  hung.setAttribute("class", "steady");
  hung.setAttribute("transform", `translate(${x} ${y})`);
  hung.append(ring);
  made.append(reach, hung);
  worn().append(made);
}

function start(event) {
  took = false;
  if (event.button || !event.isPrimary || !worn()) return;
  const handle = under(event);
  if (!handle || handle.id === "caret") return;
  event.preventDefault();
  took = true;
  handle.focus({ preventScroll: true });
  take(handle);
  picture.setPointerCapture(event.pointerId);
  picture.classList.add("dragging");
  const along = Number(handle.dataset.along);
  drag = { handle, aim: aimAt(handle), from: along, to: along, gesture: newGesture("drag"), at: event, moved: false };
}

// What the hand went since it was heard last, on the picture as it lies now: an answer that comes meanwhile may have moved the
// picture from under a hand that lies still.
function went(event) {
  const now = lies(), far = alongAt(event, now) - alongAt(drag.at, now);
  drag.at = event;
  return far;
}

export function drop() {
  // What the last answer says of it holds, also where the hand went further than a row can.
  if (drag && !isWorking()) byId(drag.aim.id)?.removeAttribute("transform");
  drag = null;
  picture.classList.remove("dragging");
  settle();
}

// A click on the line, away from all that can be taken hold of, adds there. Letting go of what was taken hold of is none, also
// where that does not lie under the hand any more.
function click(event) {
  if (took || event.detail !== 1 || under(event) || !picture.querySelector(".mark.handle")) return;
  const { along, far } = nearest(event);
  if (far <= (event.pointerType === "touch" ? FINGER_REACH : MOUSE_REACH)) add(along);
}

// Key after key on one handle is one step to undo.
function press(event) {
  const handle = event.target.closest(".handle");
  if (!handle || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.repeat && /^(Delete|Backspace|Enter|l)$/i.test(event.key)) return event.preventDefault();
  const isCaret = handle.id === "caret", length = lineLength(), step = Number(handle.dataset.step);
  if ((event.key === "Delete" || event.key === "Backspace") && !isCaret) { event.preventDefault(); return takeOut(handle); }
  if (event.key.toLowerCase() === "l" && handle.dataset.what === "mark") { event.preventDefault(); return lock(handle); }
  if (event.key === "Enter" && isCaret) { event.preventDefault(); return add(caretAt); }
  const steps = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1, PageDown: 10, PageUp: -10 }[event.key];
  if (!keys || keys.aim.id !== handle.id || event.timeStamp - keys.at > 1500 || (!isCaret && !goesOn(keys.gesture)))
    keys = { handle: handle.cloneNode(false), aim: aimAt(handle), along: Number(handle.dataset.along), gesture: newGesture("keys"), isByStep: true };
  // Where it went no further, or no row can be, the next key begins at the place where it lies.
  else if (!isWorking()) Object.assign(keys, { along: Number(handle.dataset.along), isByStep: false });
  if (event.key === "Home") Object.assign(keys, { along: 0, isByStep: false });
  else if (event.key === "End") Object.assign(keys, { along: length, isByStep: false });
  else if (steps) keys.along += steps * step * (event.shiftKey ? 10 : 1);
  else return;
  event.preventDefault();
  keys.at = event.timeStamp;
  keys.along = Math.min(length, Math.max(0, keys.along));
  if (!isCaret) return move(keys, keys.along);
  caretAt = keys.along;
  drawing.on = true;
  caret();
  byId("caret").focus({ preventScroll: true });
  drawing.on = false;
  take(byId("caret"));
}

if (worn()) {
  picture.addEventListener("pointerdown", start);
  picture.addEventListener("pointermove", (event) => {
    if (!drag) return;
    drag.to += went(event);
    if (!drag.moved && Math.abs(drag.to - drag.from) < 0.5) return;
    drag.moved = true;
    follow();
    stir();
    if (!goesOn(drag.gesture)) drag.gesture = newGesture("drag");
    move(drag, drag.to);
  });
  picture.addEventListener("pointerup", drop);
  picture.addEventListener("pointercancel", drop);
  picture.addEventListener("click", click);
  picture.addEventListener("keydown", press);
  picture.addEventListener("focusin", (event) => { const one = event.target.closest(".handle"); if (one && !drawing.on) take(one); });
  picture.addEventListener("pointerover", (event) => look(event.target.closest(".mark[data-told], .handle")));
  picture.addEventListener("pointerleave", () => look(null));
  // A redraw takes the focus away and gives it back: the hand has not left the handle.
  picture.addEventListener("focusout", () => { if (!drawing.on) keys = null; });
  byId("hold-lock").addEventListener("click", () => { const one = byId(inHand); if (one) lock(one); });
  byId("hold-out").addEventListener("click", () => { const one = byId(inHand); if (one) takeOut(one); });
  byId("hold").hidden = false;
  caret();
}

export function showMark(n) {
  const mark = byId("mark-" + n);
  for (const one of document.querySelectorAll(".shown")) one.classList.remove("shown");
  if (!mark) return;
  mark.classList.add("shown");
  byId("row-" + n)?.classList.add("shown");
  picture.scrollIntoView({ block: "nearest" });
  picture.focus({ preventScroll: true });
}

// The caret has no number: it lies where it lay.
const nameOf = (thing) => (thing.what === "mark" ? `Mark ${thing.n}` : `“${thing.name}”`);
let stood = [];
after.drawing = () => { stood = things(); };
// What is drawn anew has other numbers, and the hand holds what it held: the name of what has the focus then comes out.
after.drawn = (sent, isTaken, focused, waiting) => {
  const now = things(), done = isTaken ? sent : new URLSearchParams(), isBack = /^(undo|redo)$/.test(done.get("do"));
  const follows = (id) => {
    const held = stood.find((one) => one.id === id), trod = isBack && id === inHand && trail.get(looks(now));
    return trod || (held ? same(held, stood, now, done, sent.aim?.id === id && done.get("do") === "move")?.id : byId(id)?.id);
  };
  const held = stood.find((one) => one.id === inHand), stays = follows(inHand), next = focused === inHand ? stays : follows(focused);
  const isGone = held && (!stays || stays === "caret");
  // Where it lay is the place at which another can be set, and no key takes anything else out there.
  if (isGone) caretAt = held.along;
  caret();
  const handle = byId(isGone || !stays && inHand === "caret" ? "caret" : stays);
  // So does what was asked for before the answer came, and waits behind it.
  const aims = new Set([sent.aim, drag?.aim, keys?.aim, leaving, ...waiting.map(({ fields }) => fields.aim)].filter(Boolean));
  for (const [one, id] of [...aims].map((one) => [one, follows(one.id)])) one.id = id || "";
  follow();
  if (inHand) hold(handle, isGone && handle ? `${nameOf(held)} is not there any more. In hand is where it lay. ` : "");
  if (inHand) trail.set(looks(now), inHand);
  return focused && focused === held?.id ? inHand : next || (focused === "caret" ? "caret" : "");
};
after.refused = () => {
  if (!drag) for (const one of picture.querySelectorAll(".provisional")) {
    one.removeAttribute("transform");
    one.classList.remove("provisional");
  }
};
