// The fields and forms: what is sent of them, and when.
import { ask, isAsked, isWanted, isWorking, want } from "./asking.js";
import { byId } from "./names.js";
import { begun, drawing, held, leave, sheets, toWhatHolds, trouble, typing, unfinished } from "./showing.js";
import { choose, parted } from "./choosing.js";

// What is typed into a row that is not added yet is no part of the plan yet.
function typed(form, button) {
  const fields = new URLSearchParams(new FormData(form));
  fields.isWholeForm = form.id === "change";
  if (button && button.name) fields.set(button.name, button.value);
  // A button or the Enter key takes a row that is filled in; a change of another field does not.
  if (!button) for (const one of form.querySelectorAll(".new [name]")) fields.delete(one.name);
  return fields;
}
// Nothing was filled into the rows that are not added yet.
const noNewRow = (form) => [...form.querySelectorAll(".new [name]:not(button)")].every((one) =>
  one.options ? one.options[one.selectedIndex] === ([...one.options].find((each) => each.defaultSelected) || one.options[0])
    : one.type === "radio" || one.type === "checkbox" ? one.checked === one.defaultChecked : one.value === one.defaultValue);

// The Enter key leaves a field, which asks for what stands there, and then sends the form: the same is not asked twice.
const sendsAgain = (form, button) => form.id === "change" && button?.value === "redraw" && noNewRow(form) && isAsked(typed(form));

// The field that is typed in and not left yet, by its name: a redraw puts another field in its place.
let inHand = "";
function letGo() {
  if (inHand && byId("change")?.elements[inHand]) ask(typed(byId("change")));
  inHand = "";
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.id !== "change") letGo();
  const isTextTakenBack = event.submitter?.id === "undo" && begun();
  if (isTextTakenBack) byId("text").value = byId("text").defaultValue;
  // A text that was read and refused waits at the server too, and goes with the same press.
  if (isTextTakenBack && !byId("w-text")) {
    event.preventDefault();
    held();
  } else if (form.id === "change" || form.hasAttribute("data-live")) {
    event.preventDefault();
    const button = event.submitter || form.querySelector("button");
    if (!sendsAgain(form, button)) ask(typed(form, button));
    if (form.parentElement.id === "dropped") leave(form);
  } else if (form.classList.contains("keep") && event.submitter?.id !== "get-plan" && unfinished()) {
    event.preventDefault();
    if (isWorking()) want(form, event.submitter);
    held();
    if (!isWanted()) toWhatHolds();
  } else if (form.id === "print-check") {
    event.preventDefault();
    judge(form);
  } else {
    const file = form.querySelector("input[type=file]");
    if (file && [...file.files].some((one) => one.size > 20000000)) {
      event.preventDefault();
      trouble("This is larger than 20 MB, the most that is read. Take out what the closure does not need.");
      byId("message").scrollIntoView();
    }
  }
});

async function judge(form) {
  const answer = await fetch(form.action.split("#")[0], {
    method: "POST", body: new URLSearchParams(new FormData(form)), headers: { accept: "application/json" },
  }).catch(() => null);
  const unanswered = { lines: ["The page does not answer, or was started anew: load it again by the address that closures serve printed."] };
  const verdict = answer && answer.status !== 403 ? await answer.json() : unanswered, box = document.createElement("div");
  box.className = "verdict " + (verdict.good ? "pass" : "fail");
  for (const text of verdict.lines || [verdict.message]) {
    const line = document.createElement("p");
    line.textContent = text;
    box.append(line);
  }
  byId("verdict").replaceChildren(box);
}

document.addEventListener("input", (event) => {
  if (event.target.form?.id === "change" && !event.target.closest(".new")) {
    inHand = event.target.name;
    typing(inHand);
  }
  if (event.target.closest(".new, #text")) held();
});
document.addEventListener("click", (event) => { if (event.target.closest("a[data-prints]")) letGo(); }, true);
document.addEventListener("click", (event) => {
  const leaves = event.target.closest("a[data-leave]");
  if (!leaves) return;
  event.preventDefault();
  leave(leaves.closest("form"));
});

// What a redraw put back counts as typed, though a browser does not see that it changed.
document.addEventListener("focusout", (event) => {
  if (!drawing.on && inHand && event.target.name === inHand && event.target.form?.id === "change") letGo();
});

document.addEventListener("change", (event) => {
  const field = event.target;
  // A field that a redraw takes away is not left: its text goes into the one that comes in its place.
  if (drawing.on) return;
  if (field.name === inHand) inHand = "";
  if (field.name === "edge.path" && field.type === "radio") return choose(field.id.split("-")[1]);
  if (field.name === "closure.kind") sizesOf(field);
  if (/^edge[.](from|to)$/.test(field.name)) parted();
  const form = field.form;
  if (field.id === "face") sheets();
  if (!form || form.id !== "change") return;
  // A row that was refused is judged again when it is mended or emptied.
  const row = field.closest(".new");
  if (!row) ask(typed(form));
  else if (row.querySelector("[aria-invalid]")) ask(typed(form, form.querySelector("button")));
});


// Only the sizes of the chosen kind are offered; where the size is none of them, its first one is taken.
function sizesOf(kind) {
  const size = byId("f-closure.size");
  for (const group of size.querySelectorAll("optgroup")) group.hidden = group.disabled = group.label !== kind.value;
  const offered = [...size.querySelectorAll("optgroup:not([disabled]) option")];
  const same = offered.find((one) => one.value === size.value) || offered[0];
  if (!same || same.selected) return;
  same.selected = true;
  typing(size.name);
}


const kind = byId("f-closure.kind");
if (kind && kind.value) sizesOf(kind);
