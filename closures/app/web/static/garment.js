// The page of a garment: it is held as long as anything that was typed on a page of its openings is in no picture.
import { byId } from "./names.js";
import { tellServer, windowName } from "./standing.js";

const place = byId("garment-held"), EVERY_MS = 2500;
const keptOf = (bench) => "typed /plan/" + bench;
// What this window itself left typed on the page of an opening, and may not have told before it went on.
function leftHere(bench) {
  try {
    return JSON.parse(sessionStorage.getItem(keptOf(bench)) || "{}").said || [];
  } catch {
    return [];
  }
}
let isAsking = false;
async function look() {
  if (isAsking || document.visibilityState === "hidden") return;
  isAsking = true;
  try {
    for (const bench of place.dataset.benches.split(" ")) {
      const said = leftHere(bench), isKnown = place.querySelector(`[data-bench="${bench}"][data-window="${windowName()}"]`);
      if (said.length && !isKnown) await tellServer(`/plan/${bench}/left`, JSON.stringify(said));
    }
    const at = new URLSearchParams({ at: document.querySelector("#print-all [name=at]").value });
    const answer = await fetch(location.pathname + "/state?" + at, { cache: "no-store", signal: AbortSignal.timeout(10000) });
    if (answer.ok) show(await answer.json());
    else tellGone(answer.status === 403 ? "closures serve was started anew: open the address that it printed." : (await answer.json()).message);
  } catch {
    // Without an answer nothing prints either.
    tellGone("closures serve does not answer: what is shown here may be another by now.");
  }
  isAsking = false;
}
let shown = "";
function tellGone(text) {
  const live = byId("live");
  live.className = "fail";
  tell(live, text);
}
function tell(one, text) {
  if (one && one.textContent !== text) one.textContent = text;
}
function show({ result, brief, holds, cards, told, held_html: html }) {
  const live = byId("live");
  live.className = holds ? "fail" : result;
  tell(live, brief);
  const signs = document.querySelectorAll(".openings .of-card"), briefs = document.querySelectorAll(".openings .card-told");
  cards.forEach(({ sign, brief: said }, n) => {
    tell(signs[n], sign);
    tell(briefs[n], said);
  });
  if (shown !== html) place.innerHTML = shown = html;
  document.querySelector("#print-all [name=told]").value = told;
  const isApart = Boolean(document.querySelector("main > .trouble"));
  for (const one of document.querySelectorAll("#print-all button, button[form=print-all]")) one.disabled = holds || isApart;
}
if (place) {
  place.addEventListener("submit", ({ target: { dataset } }) => {
    if (dataset.window === windowName()) sessionStorage.removeItem(keptOf(dataset.bench));
  });
  document.addEventListener("visibilitychange", look);
  for (const what of ["pageshow", "focus"]) addEventListener(what, look);
  setInterval(look, EVERY_MS);
  look();
}
