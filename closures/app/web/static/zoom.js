// Coming closer: by wheel, pinch, keys and buttons, about the place that is pointed at. Letters keep their size.
import { drop } from "./hands.js";
import { byId, isTyped, picture, worn } from "./names.js";

// So much closer at a press; so much for each pixel of a wheel, and of a pinch on a touch pad.
const STEP = 1.6, WHEEL = 0.0016, PAD = 0.012, LINE_PX = 16, PAGE_PX = 400;
// The closest is twice life size and no less than this many times the whole.
const CLOSEST = 8;
// A wheel that rolls the page, or brought the picture to its limit, goes on doing so for this long.
const ROLLING_MS = 300;
// What a browser takes for a millimetre where nobody held anything to its screen: 96 px to the inch, as CSS says.
const TOLD_PX = 96 / 25.4;
const KEPT = "closures screen";

let heldNow = null, closer = 1, mode = "whole", pointed = null, rolled = -Infinity, zoomed = -Infinity;

const scale = () => worn().getScreenCTM().a;

// What was held to this screen, as the browser keeps it: its own pixels to the mm. Another screen is asked again.
const thisScreen = () => `${screen.width}x${screen.height}`;
function held() {
  try {
    const kept = heldNow || JSON.parse(localStorage.getItem(KEPT));
    return kept && kept.screen === thisScreen() && kept.px > 0 ? kept.px / devicePixelRatio : null;
  } catch {
    return null;
  }
}
const lifePx = () => held() || TOLD_PX;
const lifeCloser = () => closer * lifePx() / scale();
const limits = () => [Math.min(1, lifeCloser()), Math.max(CLOSEST, 2 * lifeCloser())];

function lay(wish) {
  closer = wish;
  picture.style.setProperty("--closer", String(closer));
  picture.classList.toggle("closer", Math.abs(closer - 1) > 1e-6);
  const letters = Number(getComputedStyle(worn()).getPropertyValue("--letters") || 1);
  picture.classList.toggle("roomy", closer >= letters * Number(worn().dataset.roomy));
  // What a pointer hits has one size on the screen.
  picture.style.setProperty("--px", (1 / scale()).toFixed(4) + "px");
  for (const one of picture.querySelectorAll("#hatch, #barred"))
    one.setAttribute("patternTransform", `rotate(45) scale(${1 / closer})`);
}

function told() {
  const [least, most] = limits();
  for (const one of document.querySelectorAll(".zoom button")) {
    const what = one.dataset.zoom;
    if (what === "whole" || what === "life") one.setAttribute("aria-pressed", String(mode === what));
    else one.setAttribute("aria-disabled", String(what < 0 ? closer <= least * 1.001 : closer >= most * 0.999));
  }
  const text = mode !== "life" ? "" : held() ? "Life size, as something was held to this screen."
    : "About life size: nothing was held to this screen yet. “How large is this screen?”, below the picture, makes it true.";
  if (byId("life-told").textContent !== text) byId("life-told").textContent = text;
}

// Bring the picture so close that the place under a pointer stays under it.
function to(wish, at) {
  const [least, most] = limits();
  const now = Math.min(most, Math.max(least, wish));
  const place = new DOMPoint(at.clientX, at.clientY).matrixTransform(worn().getScreenCTM().inverse());
  lay(now);
  const there = place.matrixTransform(worn().getScreenCTM());
  picture.scrollLeft += there.x - at.clientX;
  picture.scrollTop += there.y - at.clientY;
}

function middle() {
  const box = picture.getBoundingClientRect();
  return { clientX: box.left + picture.clientWidth / 2, clientY: box.top + picture.clientHeight / 2 };
}
// The pointer, where it is over the picture; else what the keys hold; else the middle of what is seen.
function about() {
  if (pointed) return pointed;
  const one = document.activeElement?.closest?.("#picture .handle"), box = one?.getBoundingClientRect();
  return box ? { clientX: box.left + box.width / 2, clientY: box.top + box.height / 2 } : middle();
}

function free(wish, at) {
  to(wish, at);
  mode = Math.abs(closer - 1) < 1e-3 ? "whole" : "free";
  told();
}
function whole() {
  mode = "whole";
  lay(1);
  told();
}
// A bar beside the picture takes room from it: it is measured again until it fits.
function life(at) {
  mode = "life";
  for (let n = 0; n < 3; n++) to(lifeCloser(), at);
  told();
}

function press(what) {
  if (what === "whole") return whole();
  if (what !== "life") return free(closer * (what < 0 ? 1 / STEP : STEP), middle());
  if (!held()) byId("d-screen").open = true;
  life(middle());
}

function wheel(event) {
  if (event.shiftKey || !event.deltaY || (!event.ctrlKey && event.timeStamp - rolled < ROLLING_MS)) return;
  const px = event.deltaY * [1, LINE_PX, PAGE_PX][event.deltaMode];
  const wish = closer * Math.exp(-px * (event.ctrlKey && event.deltaMode === 0 ? PAD : WHEEL)), [least, most] = limits();
  const isAtLimit = px > 0 ? closer <= least * 1.001 || (!event.ctrlKey && closer <= 1.001) : closer >= most * 0.999;
  if (isAtLimit && event.timeStamp - zoomed > ROLLING_MS) return;
  event.preventDefault();
  if (isAtLimit) return;
  zoomed = event.timeStamp;
  // The whole is a place to stop at.
  free(closer > 1.001 && wish < 1 && !event.ctrlKey ? 1 : wish, event);
}

// Two fingers: what lay between them stays between them.
let pinch = null;
const between = ([a, b]) => ({
  clientX: (a.clientX + b.clientX) / 2, clientY: (a.clientY + b.clientY) / 2,
  far: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY),
});
function fingers(event) {
  if (event.touches.length !== 2) { pinch = null; return; }
  const now = between(event.touches);
  if (event.cancelable) event.preventDefault();
  if (!pinch) { drop(); pinch = { closer, far: now.far, at: now }; return; }
  picture.scrollLeft -= now.clientX - pinch.at.clientX;
  picture.scrollTop -= now.clientY - pinch.at.clientY;
  free(pinch.closer * now.far / pinch.far, now);
  pinch.at = now;
}

// The board itself is pushed along by a mouse; a finger scrolls it.
let push = null, pushed = false;
function grip(event) {
  pushed = false;
  if (event.defaultPrevented || event.button || event.pointerType === "touch" || !picture.classList.contains("closer")) return;
  push = { x: event.clientX, y: event.clientY, left: picture.scrollLeft, top: picture.scrollTop };
}
function along(event) {
  pointed = event.pointerType === "touch" ? null : { clientX: event.clientX, clientY: event.clientY };
  if (!push) return;
  const x = event.clientX - push.x, y = event.clientY - push.y;
  if (!pushed && Math.hypot(x, y) < 4) return;
  if (!pushed) picture.setPointerCapture(event.pointerId);
  pushed = true;
  picture.scrollLeft = push.left - x;
  picture.scrollTop = push.top - y;
}

function key(event) {
  if (event.ctrlKey || event.metaKey || event.altKey || isTyped(event.target)) return;
  const what = { "+": 1, "=": 1, "-": -1, "_": -1, 0: "whole", 1: "life" }[event.key];
  if (what === undefined) return;
  event.preventDefault();
  if (what === "whole") whole();
  else if (what === "life") life(about());
  else free(closer * (what < 0 ? 1 / STEP : STEP), about());
}

// A picture that was drawn anew, or a window of another size, is as close as before.
function again() {
  if (!worn()) return;
  if (mode === "life") life(middle());
  else lay(closer);
}

function frame() {
  const px = Number(byId("screen-slide").value);
  byId("screen-frame").style.width = px * Number(byId("screen-by").value) + "px";
}
function keep() {
  heldNow = { px: Number(byId("screen-slide").value) * devicePixelRatio, screen: thisScreen() };
  try {
    localStorage.setItem(KEPT, JSON.stringify(heldNow));
  } catch {
    // A browser that keeps nothing knows it for as long as the page is open.
  }
  byId("d-screen").open = false;
  life(middle());
  document.querySelector('.zoom [data-zoom="life"]').focus();
}

if (worn()) {
  document.querySelector(".zoom").hidden = byId("d-screen").hidden = false;
  document.querySelector(".zoom").addEventListener("click", (event) => {
    const one = event.target.closest("[data-zoom]");
    if (one) press(one.dataset.zoom);
  });
  picture.addEventListener("wheel", wheel, { passive: false });
  addEventListener("wheel", (event) => { if (!event.defaultPrevented) rolled = event.timeStamp; }, { passive: true });
  for (const what of ["touchstart", "touchmove"]) picture.addEventListener(what, fingers, { passive: false });
  for (const what of ["touchend", "touchcancel"]) picture.addEventListener(what, () => { pinch = null; });
  picture.addEventListener("pointerdown", grip);
  picture.addEventListener("pointermove", along);
  for (const what of ["pointerup", "pointercancel"]) picture.addEventListener(what, () => { push = null; });
  picture.addEventListener("pointerleave", () => { pointed = null; });
  // Where the board was pushed along, the hand adds nothing as it lets go.
  picture.addEventListener("click", (event) => { if (pushed) event.stopImmediatePropagation(); }, { capture: true });
  picture.addEventListener("keydown", key);
  picture.addEventListener("drawn", again);
  addEventListener("resize", again);
  byId("screen-slide").value = String(lifePx());
  // Along the short side of a narrow screen the long side of a card has no room.
  if (lifePx() * 85.6 > innerWidth - 40) byId("screen-by").value = "53.98";
  for (const name of ["screen-slide", "screen-by"]) byId(name).addEventListener("input", frame);
  byId("screen-true").addEventListener("click", keep);
  frame();
  again();
  told();
}
