// A tape laid between any two points of the picture. It follows the hand at once; what it tells is measured by the server.
import { byId, picture, worn } from "./names.js";

const REACH = 10, FINGER_REACH = 22, HOLD = 14;
const NEW = "http://www.w3.org/2000/svg";
let ends = null, held = -1, told = "", straight = "", away = true, asked = 0, busy = false, next = null, start = null;

const made = (name, says, ...inside) => {
  const one = document.createElementNS(NEW, name);
  for (const [key, value] of Object.entries(says)) one.setAttribute(key, value);
  one.append(...inside);
  return one;
};
const hung = ([x, y], says, ...inside) => made("g", { ...says, class: "steady " + (says.class || ""), transform: `translate(${x} ${y})` }, ...inside);

const placeOf = (event) => {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(worn().getScreenCTM().inverse());
  return [at.x, at.y];
};
const onScreen = ([x, y]) => new DOMPoint(x, y).matrixTransform(worn().getScreenCTM());
const marks = () => [...picture.querySelectorAll("#worn .mark[data-told]")].map((one) => Number(one.id.slice(5)));

function draw() {
  const at = document.activeElement?.closest?.(".laid-end")?.dataset.end;
  byId("laid")?.remove();
  if (!ends || !worn()) return;
  const em = Number(worn().dataset.em), length = Number(worn().dataset.length).toFixed(1), [a, b] = ends.map((end) => end.at);
  const group = made("g", { id: "laid" }, made("path", { class: "laid-line", d: `M${a[0]} ${a[1]}L${b[0]} ${b[1]}` }));
  ends.forEach((end, n) => group.append(made("g", {
    class: "laid-end", role: "slider", tabindex: 0, "data-end": n, "aria-label": n ? "Second end of the tape" : "First end of the tape",
    "aria-valuemin": 0, "aria-valuemax": length, "aria-valuenow": (end.along || 0).toFixed(1), "aria-valuetext": `${end.name || "beside the lines"}; ${straight} straight`,
  }, hung(end.at, {}, made("circle", { r: 0.75 * em })))));
  // Beside the tape, on the side where the row has no numbers of its own as a rule: square to it.
  const far = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1, way = [(b[1] - a[1]) / far, (a[0] - b[0]) / far];
  const text = made("text", { class: "laid-figure", "font-size": 1.1 * em, x: 1.2 * em * way[0], y: 1.2 * em * way[1], dy: "0.35em",
    "text-anchor": way[0] > 0.3 ? "start" : way[0] < -0.3 ? "end" : "middle" });
  text.textContent = straight;
  if (straight) group.append(hung([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], {}, text));
  worn().append(group);
  if (at) group.querySelector(`[data-end="${at}"]`).focus({ preventScroll: true });
}

// One question at a time; of those that wait the last is worth asking.
async function ask(reach) {
  next = reach;
  if (busy) return;
  busy = true;
  while (next !== null && ends) {
    const wish = new URLSearchParams({ from: ends[0].at.join(","), to: ends[1].at.join(","), reach: next,
      from_mark: ends[0].mark || "", to_mark: ends[1].mark || "" });
    const seq = ++asked;
    next = null;
    try {
      const answer = await (await fetch(location.pathname + "/tape?" + wish, { cache: "no-store" })).json();
      if (seq !== asked || next !== null || !ends || !answer.ends) continue;
      // What the hand holds stays under it, and lies on what it was laid on once it is let go.
      ends = answer.ends.map((end, n) => (n === held ? ends[n] : end));
      straight = answer.straight;
      tell(answer.told);
      draw();
    } catch {
      tell("The page does not answer. Is closures serve still running?");
    }
  }
  busy = false;
}
function tell(text) {
  told = text;
  if (byId("laid-told").textContent !== told) byId("laid-told").textContent = told;
}
const reachOf = (event) => (event.pointerType === "touch" ? FINGER_REACH : REACH) / worn().getScreenCTM().a;

function set(n, at, mark = 0) {
  ends[n] = { at, name: "", mark, along: ends[n]?.along };
  asked += 1;
  draw();
}

function take(event) {
  if (!ends || event.button) return;
  event.stopImmediatePropagation();
  if (!event.isPrimary) return;
  event.preventDefault();
  const far = ends.map((end) => { const at = onScreen(end.at); return Math.hypot(at.x - event.clientX, at.y - event.clientY); });
  const reach = event.pointerType === "touch" ? FINGER_REACH : HOLD;
  start = { x: event.clientX, y: event.clientY, at: placeOf(event) };
  held = Math.min(...far) <= reach ? (far[0] < far[1] ? 0 : 1) : -1;
  away = held < 0;
  if (!away) picture.querySelector(`[data-end="${held}"]`)?.focus({ preventScroll: true });
  picture.setPointerCapture(event.pointerId);
}
function follow(event) {
  if (!start) return;
  event.stopImmediatePropagation();
  if (away) {
    if (Math.hypot(event.clientX - start.x, event.clientY - start.y) < 4) return;
    // Away from both ends a new tape begins.
    away = false;
    held = 1;
    set(0, start.at);
  }
  set(held, placeOf(event));
  ask(reachOf(event));
}
function letGo(event) {
  if (!start) return;
  if (away) {
    // A press without a way: the nearer end comes there.
    const far = ends.map((end) => { const at = onScreen(end.at); return Math.hypot(at.x - event.clientX, at.y - event.clientY); });
    set(far[0] < far[1] ? 0 : 1, start.at);
  }
  start = null;
  held = -1;
  ask(reachOf(event));
}

function press(event) {
  const one = event.target.closest(".laid-end");
  if (!one || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "Escape") { event.preventDefault(); off(); byId("lay").focus(); return; }
  const n = Number(one.dataset.end), end = ends[n], all = marks();
  const jump = { PageDown: 1, PageUp: -1, Home: -all.length, End: all.length }[event.key];
  if (jump && all.length) {
    event.preventDefault();
    const now = end.mark ? all.indexOf(end.mark) : jump > 0 ? -1 : all.length;
    set(n, end.at, all[Math.min(all.length - 1, Math.max(0, now + jump))]);
    return ask(0);
  }
  const way = { ArrowDown: [0, 1], ArrowUp: [0, -1], ArrowRight: [1, 0], ArrowLeft: [-1, 0] }[event.key];
  if (!way) return;
  event.preventDefault();
  const step = (byId("in-in").getAttribute("aria-pressed") === "true" ? 25.4 / 16 : 1) * (event.shiftKey ? 10 : 1);
  set(n, [end.at[0] + way[0] * step, end.at[1] + way[1] * step]);
  ask(0);
}

// Both laps side by side, each with its own half of every closure. The tape is laid on the closed garment.
function open(wish) {
  const is = picture.classList.toggle("opened", wish), svg = worn();
  byId("open-laps").setAttribute("aria-pressed", String(is));
  svg.dataset.closed ||= svg.getAttribute("viewBox");
  svg.setAttribute("viewBox", is ? svg.dataset.opened : svg.dataset.closed);
  const moved = `translate(${svg.dataset.aside})`;
  for (const one of svg.querySelectorAll(".slides, .mark.under")) is ? one.setAttribute("transform", moved) : one.removeAttribute("transform");
  // The picture has another frame now: what is life size is found again.
  dispatchEvent(new Event("resize"));
}

function off() {
  ends = null;
  start = null;
  tell("");
  draw();
  picture.classList.remove("taping");
  byId("lay").setAttribute("aria-pressed", "false");
}
function on() {
  open(false);
  const all = marks(), line = JSON.parse(worn().dataset.line);
  ends = [{ at: line[0], mark: all[0] || 0, name: "" }, { at: line[line.length - 1], mark: all[all.length - 1] || 0, name: "" }];
  straight = "";
  picture.classList.add("taping");
  byId("lay").setAttribute("aria-pressed", "true");
  draw();
  ask(0);
}

if (worn()) {
  document.querySelector(".lays").hidden = false;
  byId("lay").addEventListener("click", () => (ends ? off() : on()));
  byId("open-laps").addEventListener("click", () => {
    if (ends) off();
    open(!picture.classList.contains("opened"));
  });
  picture.addEventListener("pointerdown", take, { capture: true });
  picture.addEventListener("pointermove", follow, { capture: true });
  for (const what of ["pointerup", "pointercancel"]) picture.addEventListener(what, letGo, { capture: true });
  picture.addEventListener("click", (event) => { if (ends) event.stopImmediatePropagation(); }, { capture: true });
  picture.addEventListener("keydown", press);
  // In a picture that was drawn anew the tape lies where it lay, and on the closures on which it lay.
  picture.addEventListener("drawn", () => {
    if (worn() && picture.classList.contains("opened")) open(true);
    if (ends) { draw(); ask(0); }
  });
}
