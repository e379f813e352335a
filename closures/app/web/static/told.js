// What is said of the plan as a whole: where it is kept, and whether what is shown here is what there is.
import { byId } from "./names.js";

export const NO_ANSWER = "closures serve does not answer: nothing that is changed here is kept until it does.";
export const NEWER = "Another window changed this plan, and this one shows it as it was.";
let then = () => {}, keptIn = byId("kept")?.textContent || "", beside = byId("live")?.dataset.aside || "", isNewer = false, gone = "";
export const onTold = (what) => { then = what; };
function say(text, isHeld) {
  const kept = byId("kept");
  if (!kept) return;
  if (kept.textContent !== text) kept.textContent = text;
  kept.className = isHeld ? "held" : "hint";
}

// That the plan's own file holds another plan than this one, empty where it does not.
export const aside = () => beside;
export function tellKept(text, told) {
  keptIn = text;
  tellBack();
  if (beside === told) return;
  beside = told;
  say(text, Boolean(told));
  byId("from-file").hidden = !told;
  // What prints says that it was told.
  byId("file-told").value = told ? "yes" : "";
  for (const one of document.querySelectorAll("a[data-prints]")) one.search = told ? "?told=yes" : "";
  then();
}
// Without an answer nothing is kept anywhere, and nothing prints.
export const goneHolds = () => gone;
export function tellGone(text) {
  say(text, true);
  if (gone === text) return;
  gone = text;
  then();
}
export function tellBack() {
  say(keptIn, Boolean(beside));
  if (!gone) return;
  gone = "";
  then();
}

// Another window changed the plan: nothing prints from this one until it shows what there is.
export const newerHolds = () => isNewer ? "Another window changed this plan: show it as it is now, then print." : "";
export function tellNewer(isSo) {
  if (isNewer === isSo) return;
  isNewer = isSo;
  byId("newer").hidden = !isNewer;
  then();
}
