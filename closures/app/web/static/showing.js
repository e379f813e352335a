// What the server answered, put on the screen; and what of the screen is in no picture yet.
import { newRows, renumbered, typedIn } from "./aimed.js";
import { isLast, isWanted, isWorking } from "./asking.js";
import { byId, picture } from "./names.js";
import { isPressed, letGo } from "./pressing.js";
import { lay, without } from "./redraw.js";
import { layOthers, onLaid, othersHold, rowsBegun } from "./standing.js";
import { NEWER, NO_ANSWER, aside, goneHolds, newerHolds, onTold, tellBack, tellGone, tellKept, tellNewer } from "./told.js";

// A redraw takes the focus away and gives it back: the hand has not left what it held.
export const drawing = { on: false };
// What the picture's own scripts do once a picture was drawn, or refused.
export const after = { drawing: () => {}, drawn: (sent, isTaken, focused) => focused, refused: () => {} };
let unsaved = false, fetching = false;

// What was typed and is in no answer yet: an answer to an earlier question must not take it back.
const now = (name) => new FormData(byId("change")).getAll(name).join("\n");
const lost = [];
export const typing = (name) => {
  lost.length = 0;
  if (byId("change")) typedIn.set(name, now(name));
  retype(name);
};
function answered(sent) {
  if (!sent.isWholeForm) return;
  for (const [name, text] of typedIn) if (sent.getAll(name).join("\n") === text) typedIn.delete(name);
}
// What a bare number means on the page as it is shown.
export const units = () => (byId("in-in")?.getAttribute("aria-pressed") === "true" ? "in" : "mm");
// What stands typed and is in no picture, as in rows that are not added yet.
export function standing() {
  const found = Object.fromEntries(typedIn);
  for (const one of document.querySelectorAll("#form .new :is(input, textarea)")) if (one.value.trim()) found[one.name] = one.value;
  return found;
}
// The units are others now: what still stands as it stood when that was asked gets the unit that it was typed in.
function inItsUnit(told, sent, waiting) {
  for (const [name, text] of Object.entries(told || {})) {
    const was = sent.stands[name], field = inNew(name);
    if (field && field.value === was) field.value = text;
    if (typedIn.get(name) === was) typedIn.set(name, text);
    for (const { fields } of waiting) if (fields.isWholeForm && fields.get(name) === was) fields.set(name, text);
  }
}
// Put back into its field what the server does not know yet.
function retyped() {
  for (const [name, text] of typedIn) {
    const lines = text.split("\n");
    for (const one of document.querySelectorAll(`#form [name="${CSS.escape(name)}"]`)) {
      if (one.type === "radio" || one.type === "checkbox") one.checked = lines.includes(one.value);
      else if (one.value !== text) one.value = text;
    }
  }
}
// A field whose whole text was chosen, as the Tab key leaves it, stays so: the next key writes over it.
const isWhole = (one) => one.selectionStart === 0 && one.selectionEnd === one.value.length && one.value !== "";

export function say(text) {
  if (byId("slow").textContent !== text) byId("slow").textContent = text;
}

export function trouble(text) {
  if (byId("message").textContent === text) return;
  const box = document.createElement("div"), line = document.createElement("p");
  box.className = "trouble";
  line.textContent = text;
  line.className = "said";
  box.append(line);
  byId("message").replaceChildren(box);
  sayAbove();
}

// What is said of a change as a whole stands above the fields, which may be far from the hand: the bar is always in sight.
function sayAbove() {
  const above = byId("said-above");
  if (!above) return;
  const said = [...document.querySelectorAll(":is(#message, #dropped) .said")].map((one) => one.textContent).join(" ");
  if (above.textContent === said) return;
  const link = document.createElement("a");
  link.href = byId("message").textContent.trim() ? "#message" : "#dropped";
  link.textContent = said;
  above.replaceChildren(...(said ? [link] : []));
}

// What was typed into an older picture is put in again, typed anew, or left.
function retype(name) {
  for (const one of document.querySelectorAll(`#dropped [name="${CSS.escape(name)}"]`)) {
    const form = one.form;
    one.closest("li").remove();
    if (!form.querySelector("li")) form.remove();
  }
  sayAbove();
}
export function leave(form) {
  form.remove();
  sayAbove();
  byId("dropped").focus({ preventScroll: true });
}

// While the server is silent, that is what holds the print, and not a picture that is being drawn.
let silence = "";
export function silent(text) {
  silence = "There is no answer to your last change yet: nothing prints until there is one.";
  tellGone(NO_ANSWER);
  trouble(text);
  held();
}
// The server answers again: what was said of its silence is no longer true.
export function mended() {
  silence = "";
  tellBack();
  byId("message").replaceChildren();
  sayAbove();
  held();
}

// The row that is not added yet may get another number.
export const inNew = (name) => document.querySelector(`#form .new [name^="${name.split(".")[0]}."][name$=".${name.split(".").slice(2).join(".")}"]`);

// What a hand chose in a form that no plan holds, as of a trial piece, is there again after a redraw.
const chosenIn = (id) => [...byId(id).querySelectorAll(":is(input, select)[id]")].map((one) => [one.id, one.checked, one.value]);
function chooseAgain(chosen) {
  for (const [id, checked, value] of chosen) {
    const one = byId(id);
    if (one?.type === "radio") one.checked = checked;
    else if (one && [...one.options].some((each) => each.value === value)) one.value = value;
  }
}

// Parts of which an answer changes little, and that hold nothing that is written in.
const ALIKE = new Set(["picture", "findings", "marks"]);

// What was put last into a section that holds nothing that a hand changes: the same again is not drawn again.
const stands = new Map();
const STILL = new Set(["legend", "compare", "findings", "marks", "run-grid", "parts-picture"]);

export function put(id, html, isTaken = () => false, now = (held) => held) {
  if (html === undefined || !byId(id)) return;
  const one = byId(id), last = stands.get(id);
  if (STILL.has(id) && last?.html === without(html) && last.first === one.firstChild) return;
  const at = document.activeElement, within = at && at !== document.body && byId(id).contains(at);
  const held = within ? at.id : "", around = within ? at.closest("details")?.id : "";
  const chosen = within && "selectionStart" in at ? [at.selectionStart, at.selectionEnd, isWhole(at)] : null;
  const open = [...byId(id).querySelectorAll("details")].map((one) => [one.id, one.open]);
  // What is being typed into a row that is not added yet stays.
  const begun = [...byId(id).querySelectorAll(".new [name]")].map((one) => [one.name, one.value]).filter((one) => !isTaken(...one));
  drawing.on = true;
  if (ALIKE.has(id)) lay(one, html);
  else one.innerHTML = html;
  stands.set(id, { html: without(html), first: one.firstChild });
  for (const [name, was] of begun) {
    const field = inNew(name);
    if (field) field.value = was;
  }
  for (const [name, was] of open) if (name && byId(name)) byId(name).open = was;
  // What had the focus may be gone, as a row that was removed: then the heading that it stood under takes it.
  const is = now(held), next = (is && byId(is)) || (around && byId(around)?.querySelector("summary")) ||
    (within && (byId(id).querySelector(".taken") || byId(id)));
  if (id === "form") retyped();
  if (next) next.focus({ preventScroll: true });
  if (next && next.id === held && chosen && chosen[0] !== null) {
    if (chosen[2]) next.select();
    else next.setSelectionRange(chosen[0], chosen[1]);
  }
  drawing.on = false;
}

// Load the page again, and come back to where the hand was.
const WAS = "was " + location.pathname;
export function anew() {
  const open = [...document.querySelectorAll("details[open]:not(.panel)")].map((one) => one.id);
  sessionStorage.setItem(WAS, JSON.stringify({ open, at: document.activeElement?.id }));
  fetching = true;
  location.reload();
}
if (byId("change") && sessionStorage.getItem(WAS)) {
  const { open, at } = JSON.parse(sessionStorage.getItem(WAS));
  sessionStorage.removeItem(WAS);
  for (const one of open) if (one && byId(one)) byId(one).open = true;
  byId(at)?.focus();
}

// A row that the hand typed in may be gone, or have another number, once the form is drawn anew.
function drawForm(html, sent, rows, waiting, isStale) {
  if (html === undefined) return;
  const made = document.createElement("template");
  made.innerHTML = html;
  const fresh = newRows(made.content);
  lost.push(...renumbered(sent, rows, fresh, waiting));
  // A row that was taken stands among the others now, and the next one is empty but for what was typed since.
  const sections = Object.keys(rows).filter((section) => (fresh[section] ?? 0) > rows[section]);
  put("form", html, (name, text) => !isStale && sections.includes(name.split(".")[0]) && sent.get(name) === text);
}
// It is said until the hand types again: the next answer has words of its own.
function tellLost() {
  if (!lost.length || byId("message").textContent.trim()) return;
  trouble(`“${lost.join("”, “")}” was typed in a row that is gone, and is in no field any more.`);
}

// While a hand drags, the picture follows it, and the tables and words beside it come once it stays still or lets go.
const STILL_MS = 120;
let beside = null, clock = 0;
function laysBeside(lay, isGoingOn) {
  beside = lay;
  clearTimeout(clock);
  if (isGoingOn) clock = setTimeout(settle, STILL_MS);
  else settle();
}
// A hand that goes on is no hand that stays still, however slowly it is answered.
export function stir() {
  if (!beside) return;
  clearTimeout(clock);
  clock = setTimeout(settle, STILL_MS);
}
export function settle() {
  clearTimeout(clock);
  if (!beside) return;
  // What a press was begun on stays until it is over.
  if (isPressed()) { letGo().then(settle); return; }
  const lay = beside;
  beside = null;
  lay();
}

// A button that goes dead under the hand passes the focus on.
function enable(one, other, can) {
  const had = document.activeElement === one;
  one.disabled = !can;
  if (had && !can) (other.disabled ? picture : other).focus({ preventScroll: true });
}

export function show(parts, sent, waiting) {
  // What was asked of an older picture was not taken.
  const textRead = sent.get("do") === "text" && !parts.stale;
  answered(sent);
  if (parts.ok === undefined || (!parts.ok && !parts.wrong)) return trouble(parts.message || "This could not be done.");
  layOthers(parts.left_html);
  byId("message").innerHTML = parts.message;
  // What another window was faster than stays at hand until it is put in or left: the next answer may be a good one.
  byId("dropped").insertAdjacentHTML("beforeend", parts.dropped_html);
  sayAbove();
  byId("at").value = String(parts.turn);
  tellKept(parts.kept, parts.aside);
  tellNewer(false);
  if (parts.brief) {
    const live = byId("live");
    live.className = parts.result;
    live.dataset.brief = parts.brief;
    live.dataset.shown = parts.shown;
    held();
  }
  if (parts.can) {
    const undo = byId("undo"), redo = byId("redo");
    if (parts.can.redo) redo.disabled = false;
    canUndo = parts.can.undo;
    enable(undo, redo, parts.can.undo);
    enable(redo, undo, parts.can.redo);
  }
  if (!parts.ok && !parts.picture) {
    after.refused();
    settle();
    return mark(parts);
  }
  // A plan that has sizes now, or none any more, is laid out anew; the server holds all that was done and typed.
  if (parts.shape !== document.querySelector("main").dataset.shape && isLast() && !typedIn.size && !unsent()) return anew();
  after.drawing();
  put("picture", parts.picture, undefined, (focused) => after.drawn(sent, !parts.stale, focused, waiting));
  picture.dispatchEvent(new Event("drawn"));
  put("compare", parts.compare_html);
  byId("compare").classList.toggle("comparing", document.querySelector(".two-rows") !== null);
  const isGoingOn = picture.classList.contains("dragging") || (sent.get("gesture") && waiting[0]?.gesture === sent.get("gesture"));
  laysBeside(() => {
    put("legend", parts.legend_html);
    put("findings", parts.findings_html);
    put("marks", parts.marks_html);
    const chosen = sent.get("do") === "trial" && !parts.stale ? [] : chosenIn("trial");
    put("trial", parts.trial_html);
    chooseAgain(chosen);
    put("parts-picture", parts.parts_picture);
  }, isGoingOn);
  inItsUnit(parts.standing, sent, waiting);
  drawForm(parts.form_html, sent, newRows(byId("form")), waiting, parts.stale);
  tellLost();
  for (const [name, text] of Object.entries(parts.values)) {
    const field = byId("f-" + name);
    // What the plan holds stands in no row that is not added yet.
    if (!field || typedIn.has(name) || field.value === text || field.closest(".new")) continue;
    const whole = field === document.activeElement && "select" in field && isWhole(field);
    field.value = text;
    if (whole) field.select();
  }
  // Beside an empty count stands what was taken for it.
  const usual = byId("usual-row");
  if (usual && parts.usual_row !== undefined && usual.textContent !== parts.usual_row) usual.textContent = parts.usual_row;
  document.body.classList.toggle("in-inches", parts.units === "in");
  byId("in-mm").setAttribute("aria-pressed", String(parts.units === "mm"));
  byId("in-in").setAttribute("aria-pressed", String(parts.units === "in"));
  const size = byId("size");
  if (size && isLast() && size.value !== parts.size) {
    size.value = parts.size;
    byId("size-slide").value = String(size.selectedIndex);
    byId("size-slide").setAttribute("aria-valuetext", size.value);
  }
  document.querySelector(".bar h1").textContent = parts.title;
  // A text that was begun and not read stays, and holds the print until it is read or taken back.
  const text = byId("text"), stays = begun() && !textRead;
  unsaved = unsaved || text.defaultValue !== parts.text;
  text.defaultValue = parts.text;
  if (!stays) text.value = wasText = parts.text;
  sheets();
  mark(parts);
}


// Leaving warns while something would be lost: what is in no file, and what is typed and not in the picture.
addEventListener("beforeunload", (event) => {
  const keeps = byId("kept") && byId("kept").textContent.startsWith("Kept in");
  if (!fetching && byId("change") && ((unsaved && !keeps) || notInPicture() || typedIn.size || document.querySelector("#dropped form"))) event.preventDefault();
});
document.addEventListener("submit", (event) => {
  if (event.target.id !== "keep" || event.defaultPrevented) return;
  // A file that is fetched leads nowhere.
  fetching = true;
  setTimeout(() => { fetching = false; }, 2000);
  if (event.submitter?.id === "get-plan") unsaved = false;
});


// The sheets as they are drawn are those of the picture, on the chosen face of the cloth.
export function sheets() {
  const face = byId("face").value;
  for (const one of document.querySelectorAll("#d-sheets img"))
    one.src = one.dataset.src + "&face=" + face + "&at=" + byId("at").value;
}


// What was refused and is no field of the form stands beside what it was told in, or the button that was pressed.
const ELSEWHERE = { text: "text", trial: "trial-keep" };
// Beside each field that was refused stands why; what it holds is not in the picture.
function mark(parts) {
  for (const one of document.querySelectorAll("main [aria-invalid]")) one.removeAttribute("aria-invalid");
  for (const one of document.querySelectorAll("main .wrong-words")) one.remove();
  for (const name of parts.wrong) {
    const field = byId(ELSEWHERE[name] || "f-" + name) || document.querySelector(`#form [name="${CSS.escape(name)}"]`);
    if (!field) continue;
    if (!field.matches("button")) field.setAttribute("aria-invalid", "true");
    for (let around = field.closest("details"); around; around = around.parentElement.closest("details")) around.open = true;
    if (!parts.words[name]) continue;
    const words = document.createElement("span");
    words.className = "wrong-words";
    words.id = "w-" + name;
    words.textContent = parts.words[name];
    field.after(words);
    const told = (field.getAttribute("aria-describedby") || "").split(" ").filter((one) => one && one !== words.id);
    field.setAttribute("aria-describedby", [words.id, ...told].join(" "));
  }
  refused = parts.waits;
  held();
}

// While anything on the screen is not in the picture, nothing prints, and it is said what to finish.
let refused = byId("print-held")?.textContent || "";
export function unfinished() {
  return silence || (isWorking() ? "The picture is being drawn." : notInPicture() || othersHold() || newerHolds() || goneHolds());
}
function notInPicture() {
  return silence || refused || unsent();
}
function unsent() {
  const [row] = rowsBegun();
  if (row) return `${row.called}, is filled in and not added: add it, or empty it.`;
  const text = byId("text");
  if (text && text.value !== text.defaultValue) return "“The plan as text” was changed and not read: read it, or take it back with Undo.";
  return "";
}
// The line above the picture is red for as long as the screen shows anything that the picture does not.
export function held() {
  const says = byId("print-held"), live = byId("live");
  if (!says) return;
  const told = isWanted() ? unfinished() : notInPicture() || othersHold() || newerHolds() || goneHolds(), here = told === othersHold() ? "" : told;
  if (says.textContent !== here) says.textContent = here;
  const isUnfinished = Boolean(silence) || (Boolean(told) && !isWanted());
  live.classList.toggle("unfinished", isUnfinished);
  // What is found of a picture is no answer to what is not in it.
  live.classList.toggle("aside", Boolean(aside()));
  const why = told === newerHolds() ? NEWER : told === goneHolds() ? told : "Not all that you typed is in the picture.";
  const line = (aside() ? `${aside()} ` : "") + (isUnfinished && told !== refused ? `${why} ${live.dataset.shown}` : live.dataset.brief);
  if (live.textContent !== line) live.textContent = line;
  byId("undo").disabled = !(canUndo || begun());
}
onLaid(held);
onTold(held);
export const toWhatHolds = () => byId(byId("print-held").textContent ? "print-held" : "left-typed").focus();
let canUndo = Boolean(byId("undo") && !byId("undo").disabled);
// The plan's text as it was when the hand began to change it.
let wasText = byId("text") && (byId("text").dataset.stands ?? byId("text").defaultValue);
export const begunFrom = () => wasText;
export const goOnFrom = (text) => { wasText = text; };
export const begun = () => { const text = byId("text"); return Boolean(text) && text.value !== text.defaultValue; };

