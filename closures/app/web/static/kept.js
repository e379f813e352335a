// Whether what is shown here is what there is: another window may change the plan, another program may write into its file, and
// the server may be gone, while nothing is asked for here.
import { isWorking } from "./asking.js";
import { byId } from "./names.js";
import { anew } from "./showing.js";
import { NO_ANSWER, tellGone, tellKept, tellNewer } from "./told.js";

const EVERY_MS = 2500, PATIENCE_MS = 10000;
const BEGUN_ANEW = "closures serve was started anew, and keeps nothing of this page until its new address is opened in this browser.";
let isLooking = false;
async function look() {
  if (isLooking || isWorking() || document.visibilityState === "hidden") return;
  isLooking = true;
  const at = byId("at").value;
  try {
    const answer = await fetch(location.pathname + "/turn", { cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS) });
    if (answer.status === 403) tellGone(BEGUN_ANEW);
    else {
      const told = await answer.json();
      if (!answer.ok) tellGone(told.message);
      // What was asked for meanwhile has told more than this answer can.
      else if (!isWorking() && byId("at").value === at) {
        tellKept(told.kept, told.aside);
        tellNewer(String(told.turn) !== at);
      }
    }
  } catch {
    tellGone(NO_ANSWER);
  }
  isLooking = false;
}
if (byId("at")) {
  for (const what of ["pageshow", "focus"]) addEventListener(what, look);
  document.addEventListener("visibilitychange", look);
  setInterval(look, EVERY_MS);
  byId("newer").querySelector("button").addEventListener("click", anew);
}
