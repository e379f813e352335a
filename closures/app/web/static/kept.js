// Whether a plan's own file still holds what is shown here: another program may write there while nothing is asked for.
import { isWorking } from "./asking.js";
import { byId } from "./names.js";
import { tellKept } from "./showing.js";

const EVERY_MS = 2500;
async function look() {
  if (isWorking() || document.visibilityState === "hidden") return;
  try {
    const answer = await fetch(location.pathname + "/turn", { cache: "no-store" });
    if (!answer.ok) return;
    const { kept } = await answer.json();
    if (!isWorking()) tellKept(kept);
  } catch {
    // Without an answer nothing is said of the file.
  }
}
if (/^(Kept|Not kept) in/.test(byId("kept")?.textContent || "")) {
  for (const what of ["pageshow", "focus"]) addEventListener(what, look);
  document.addEventListener("visibilitychange", look);
  setInterval(look, EVERY_MS);
}
