// A tape along which old closures are tapped: what stands in the fields is read, and the tape drawn, by the server.
import { lineLength } from "./line.js";
import { byId, worn } from "./names.js";

const DRAGS_PX = 4;
let asked = 0, held = null;

const field = (tape) => byId("f-" + tape.dataset.tape);
// On the table the tape is as long as the line that the closures lie on; before, as what is told of the edge.
function wish(tape) {
  const length = worn() ? lineLength() + " mm" : byId("f-edge.straight")?.value || "";
  const units = byId("units")?.value || (byId("in-in")?.getAttribute("aria-pressed") === "true" ? "in" : "mm");
  return { length, units, places: field(tape).value };
}

async function draw(tape, more = {}) {
  const seq = ++asked;
  try {
    const answer = await fetch("/tape?" + new URLSearchParams({ ...wish(tape), ...more }), { cache: "no-store" });
    const { tape: drawn, places, told } = await answer.json();
    // A later question has a later answer.
    if (seq !== asked || !tape.isConnected) return;
    tape.querySelector(".tape-place").innerHTML = drawn;
    if (tape.querySelector(".tape-told").textContent !== told) tape.querySelector(".tape-told").textContent = told;
    tape.querySelector(".tape-keys").hidden = !drawn;
    const slide = tape.querySelector("input[type=range]"), svg = tape.querySelector("svg");
    if (svg) {
      slide.max = String(Math.floor(svg.dataset.length / svg.dataset.step) * svg.dataset.step);
      slide.step = svg.dataset.step;
      point(tape);
    }
    if (field(tape).value === places) return;
    field(tape).value = places;
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

function along(svg, event) {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  return ((at.x - Number(svg.dataset.left)) / Number(svg.dataset.scale)).toFixed(3);
}

document.addEventListener("pointerdown", (event) => {
  const svg = event.target.closest(".tape-svg");
  if (!svg || event.button) return;
  held = { svg, n: event.target.closest(".tape-one")?.dataset.n || "", x: event.clientX, far: false };
});
document.addEventListener("pointermove", (event) => {
  if (!held?.n || Math.abs(event.clientX - held.x) < DRAGS_PX) return;
  held.far = true;
  const scale = held.svg.getScreenCTM().a;
  held.svg.querySelector(`[data-n="${held.n}"]`).setAttribute("transform", `translate(${(event.clientX - held.x) / scale} 0)`);
});
document.addEventListener("pointerup", (event) => {
  if (held && (held.far || event.target.closest(".tape-svg") === held.svg))
    draw(held.svg.closest("[data-tape]"), held.n && !held.far ? { out: held.n }
      : { at: along(held.svg, event), ...(held.far ? { from: held.n } : {}) });
  held = null;
});
document.addEventListener("pointercancel", () => { held = null; });

document.addEventListener("input", (event) => {
  if (event.target.matches(".tape-keys input")) return point(event.target.closest("[data-tape]"));
  if (/^f-edge[.]straight$|^units$|^f-swap[.]places$/.test(event.target.id)) all();
});
document.addEventListener("click", (event) => {
  const button = event.target.closest(".tape-keys button"), tape = button?.closest("[data-tape]");
  if (tape) draw(tape, { at: tape.querySelector("input[type=range]").value });
});

// What nobody sees is not drawn.
function all() {
  for (const tape of document.querySelectorAll("[data-tape]")) if (tape.closest("details")?.open !== false) draw(tape);
}
document.addEventListener("toggle", (event) => { if (event.target.open && event.target.querySelector("[data-tape]")) all(); }, true);
// A redraw of the form puts an empty tape in the place of the one that was there.
if (byId("at")) new MutationObserver(all).observe(byId("at"), { attributes: true });
all();
