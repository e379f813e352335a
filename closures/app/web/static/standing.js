// What stands typed in this window and was not asked for, as a row that is not added: the server is told of it, and holds what
// other windows print until it is added or emptied. What stands in another window is shown here, and holds this one too.
import { typedIn } from "./aimed.js";
import { isWorking } from "./asking.js";
import { byId } from "./names.js";

// A window keeps its name over a reload. One that was copied has the name of another, which says so.
const NAME = "window";
const makeName = () => Math.random().toString(36).slice(2, 12) + Date.now().toString(36);
let name = makeName();
try {
  name = sessionStorage.getItem(NAME) || name;
  sessionStorage.setItem(NAME, name);
} catch {
  // A window that keeps nothing has another name after a reload.
}
export const windowName = () => name;
const windows = "BroadcastChannel" in window ? new BroadcastChannel("windows") : null;
if (windows) {
  windows.onmessage = ({ data }) => {
    if (data.asks === name) windows.postMessage({ has: name });
    if (data.has !== name) return;
    name = makeName();
    try { sessionStorage.setItem(NAME, name); } catch { /* As above. */ }
    if (byId("window")) byId("window").value = name;
    last = "[]";
    tell();
  };
  windows.postMessage({ asks: name });
}

// The rows that are filled in and not added, each as the page calls it, with what is written in it.
export function rowsBegun() {
  const found = [];
  for (const row of document.querySelectorAll("#form .new")) {
    const texts = [...row.querySelectorAll("input, textarea")].map((one) => one.value.trim()).filter(Boolean);
    const group = row.closest("details").querySelector("summary h3").textContent;
    if (texts.length) found.push({ called: `“${row.querySelector("legend").textContent}”, under “${group}”`, texts });
  }
  return found;
}
const isTextBegun = () => byId("text") && byId("text").value !== byId("text").defaultValue;
function labelOf(field) {
  const label = document.querySelector(`label[for="${CSS.escape("f-" + field)}"]`);
  const row = label?.closest("fieldset.row")?.querySelector("legend").textContent;
  return (row ? `${row}, ` : "") + (label?.textContent || field);
}
// What stands here in words; without what a change that is asked for brings along, as that is under way already.
export function standsHere({ isAsked = false, isWholeForm = false } = {}) {
  const rows = isWholeForm ? [] : rowsBegun().map(({ called, texts }) => `${called}: ${texts.join(", ")}`);
  const fields = isAsked ? [] : [...typedIn.keys()].map((field) => `“${labelOf(field)}”`);
  return [...rows, ...fields, ...(isTextBegun() ? ["“The plan as text”"] : [])];
}

const REST_MS = 250;
let last = "[]", clock = 0, isTelling = false;
const address = () => location.pathname.replace(/[/]$/, "") + "/left";
export async function tellServer(at, left) {
  return fetch(at, { method: "POST", keepalive: true, body: new URLSearchParams({ window: name, left }) });
}
// One at a time, so that none overtakes another.
async function tell() {
  clearTimeout(clock);
  const left = JSON.stringify(standsHere({ isAsked: isWorking() }));
  if (!byId("change") || left === last || isTelling) return;
  isTelling = true;
  const was = last;
  last = left;
  try {
    const answer = await tellServer(address(), left);
    if (answer.ok) layOthers((await answer.json()).left_html);
    else last = was;
  } catch {
    last = was;
  }
  isTelling = false;
  if (last === left) tell();
}
export function tellSoon() {
  clearTimeout(clock);
  clock = setTimeout(tell, REST_MS);
}
// What a change told along with it is known.
export const toldAlong = (left) => { last = left; };

// What stands in other windows; what was told of this one before it was loaded anew is its own.
export function layOthers(html) {
  const place = byId("left-typed");
  if (!place || html === undefined) return;
  place.innerHTML = html;
  for (const one of place.querySelectorAll("[data-window]")) if (one.dataset.window === name) one.remove();
  laid();
}
let laid = () => {};
export const onLaid = (then) => { laid = then; };
export const othersHold = () => byId("left-typed")?.querySelector(".held")?.firstChild.textContent || "";

export function beginTelling() {
  byId("window").value = name;
  // What the server knows of this window from before it was loaded is told anew, or taken back.
  if (byId("left-typed").querySelector(`[data-window="${CSS.escape(name)}"]`)) last = "";
  layOthers(byId("left-typed").innerHTML);
  tell();
  for (const what of ["input", "change"]) document.addEventListener(what, tellSoon);
  new MutationObserver(tellSoon).observe(byId("at"), { attributes: true });
  addEventListener("pagehide", tell);
  addEventListener("blur", tell);
  document.addEventListener("visibilitychange", tell);
}
