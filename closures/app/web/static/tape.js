// A tape along which old closures are tapped: what stands in the fields is read, and the tape drawn, by the server.
import { lineLength } from "./line.js";
import { byId, worn } from "./names.js";
import { letGo } from "./pressing.js";

const DRAGS_PX = 4;
let held = null, last = Promise.resolve();
// What each tape was drawn of: the same is not drawn twice.
const drawnOf = new WeakMap();

const field = (tape) => byId("f-" + tape.dataset.tape);
// On the table the tape is as long as the line that the closures lie on; before, as what is told of the edge.
function wish(tape) {
  const length = worn() ? lineLength() + " mm" : byId("f-edge.straight")?.value || "";
  const units = byId("units")?.value || (byId("in-in")?.getAttribute("aria-pressed") === "true" ? "in" : "mm");
  return { length, units, places: field(tape).value, first: tape.dataset.first, last: tape.dataset.last };
}

// One question after the other: each says what stands in the fields after the one before it.
const draw = (name, doing = null) => (last = last.then(() => drawNow(name, doing)));

async function drawNow(name, doing) {
  // A redraw of the form may have put another tape in the place of the one that was there.
  let tape = document.querySelector(`[data-tape="${name}"]`);
  const more = tape && doing ? doing(tape) : {}, wished = tape && JSON.stringify(wish(tape));
  if (!tape || !more || (!doing && drawnOf.get(tape) === wished)) return;
  try {
    const answer = await fetch("/tape?" + new URLSearchParams({ ...wish(tape), ...more }), { cache: "no-store" });
    const { tape: drawn, places, told } = await answer.json();
    await letGo();
    tape = document.querySelector(`[data-tape="${name}"]`);
    if (!tape) return;
    // What was typed meanwhile is asked of next; what a hand did is added to it then.
    if (JSON.stringify(wish(tape)) !== wished) return doing ? drawNow(name, doing) : undefined;
    tape.querySelector(".tape-place").innerHTML = drawn;
    if (tape.querySelector(".tape-told").textContent !== told) tape.querySelector(".tape-told").textContent = told;
    tape.querySelector(".tape-keys").hidden = !drawn;
    const slide = tape.querySelector("input[type=range]"), svg = tape.querySelector("svg");
    if (svg) {
      slide.max = String(Math.floor(svg.dataset.length / svg.dataset.step) * svg.dataset.step);
      slide.step = svg.dataset.step;
      point(tape);
    }
    const isChanged = field(tape).value !== places;
    field(tape).value = places;
    drawnOf.set(tape, JSON.stringify(wish(tape)));
    if (!isChanged) return;
    field(tape).dispatchEvent(new Event("input", { bubbles: true }));
    field(tape).dispatchEvent(new Event("change", { bubbles: true }));
  } catch {
    tape.querySelector(".tape-told").textContent = "The page does not answer. Is closures serve still running?";
  }
}

const sized = (svg, along) => (Number(svg.dataset.left) + along * Number(svg.dataset.scale)).toFixed(2);
function point(tape) {
  const svg = tape.querySelector("svg"), slide = tape.querySelector("input[type=range]");
  if (!svg) return;
  const inches = wish(tape).units === "in", value = Number(slide.value);
  slide.setAttribute("aria-valuetext", inches ? (value / 25.4).toFixed(3) + " in" : value.toFixed(0) + " mm");
  let hand = svg.querySelector(".tape-hand");
  if (!hand) {
    hand = document.createElementNS("http://www.w3.org/2000/svg", "path");
    hand.setAttribute("class", "tape-hand");
    svg.append(hand);
  }
  hand.setAttribute("d", `M${sized(svg, value)} 24v62`);
}

const alongOf = (svg, x) => (x - Number(svg.dataset.left)) / Number(svg.dataset.scale);
function along(svg, event) {
  return alongOf(svg, new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse()).x).toFixed(3);
}
// Which one is meant may have another number by the time it is asked for: it is known by where it lies.
const lies = (svg, one) => alongOf(svg, Number(one.querySelector("circle").getAttribute("cx")));
function numberAt(tape, place) {
  const svg = tape.querySelector("svg");
  const found = svg && [...svg.querySelectorAll(".tape-one")].find((one) => Math.abs(lies(svg, one) - place) < svg.dataset.step / 2);
  return found?.dataset.n;
}

document.addEventListener("pointerdown", (event) => {
  const svg = event.target.closest(".tape-svg");
  if (!svg || event.button) return;
  const one = event.target.closest(".tape-one");
  held = { svg, n: one?.dataset.n || "", place: one && lies(svg, one), x: event.clientX, far: false };
});
document.addEventListener("pointermove", (event) => {
  if (!held?.n || Math.abs(event.clientX - held.x) < DRAGS_PX) return;
  held.far = true;
  const scale = held.svg.getScreenCTM().a;
  held.svg.querySelector(`[data-n="${held.n}"]`).setAttribute("transform", `translate(${(event.clientX - held.x) / scale} 0)`);
});
document.addEventListener("pointerup", (event) => {
  const was = held, tape = was?.svg.closest("[data-tape]");
  held = null;
  if (!tape || !(was.far || event.target.closest(".tape-svg") === was.svg)) return;
  const at = along(was.svg, event), name = tape.dataset.tape;
  if (!was.n) return draw(name, () => ({ at }));
  draw(name, (tape) => {
    const n = numberAt(tape, was.place);
    return n && (was.far ? { at, from: n } : { out: n });
  });
});
document.addEventListener("pointercancel", () => { held = null; });

document.addEventListener("input", (event) => {
  if (event.target.matches(".tape-keys input")) return point(event.target.closest("[data-tape]"));
  if (/^f-edge[.]straight$|^units$|^f-swap[.]places$/.test(event.target.id)) all();
});
document.addEventListener("click", (event) => {
  const button = event.target.closest(".tape-keys button"), tape = button?.closest("[data-tape]");
  if (!tape) return;
  const at = tape.querySelector("input[type=range]").value;
  draw(tape.dataset.tape, () => ({ at }));
});

// The Enter key sets one at the slider, and does not send the form around it.
document.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || !event.target.matches(".tape-keys input")) return;
  event.preventDefault();
  event.target.closest(".tape-keys").querySelector("button").click();
});

// What nobody sees is not drawn.
function all() {
  for (const tape of document.querySelectorAll("[data-tape]")) if (tape.closest("details")?.open !== false) draw(tape.dataset.tape);
}
document.addEventListener("toggle", (event) => { if (event.target.open && event.target.querySelector("[data-tape]")) all(); }, true);
// A redraw of the form puts an empty tape in the place of the one that was there.
if (byId("at")) new MutationObserver(all).observe(byId("at"), { attributes: true });
all();
