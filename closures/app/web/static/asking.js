// What is asked of the server: one change at a time, in the order in which they were made.
import { aim, aimAnew, asNow, meets, newRows, typedIn } from "./aimed.js";
import { byId } from "./names.js";
import { letGo } from "./pressing.js";
import { standsHere, toldAlong, windowName } from "./standing.js";
import { begunFrom, held, mended, say, show, silent, standing, trouble, unfinished, units } from "./showing.js";

const waiting = [];
let busy = false, seq = 0, gestures = 0, latest = "";
// A file that was asked for while the picture is being drawn comes when it is drawn.
let wanted = null;

export const isWorking = () => busy || waiting.length > 0;
export const isLast = () => waiting.length === 0;
// Whether just these fields were asked for last, and the answer is still to come.
export const isAsked = (fields) => busy && waiting[waiting.length - 1]?.fields.told === String(fields);
// Whether a movement goes on: nothing else was asked for since.
export const goesOn = (gesture) => gesture === latest;
export const isWanted = () => wanted !== null;
export const newGesture = (name) => name + "-" + ++gestures + "-" + Math.random().toString(36).slice(2, 8);
export const want = (form, button) => { wanted = { form, button }; };

// Of one gesture only the latest is worth asking. What is told `then` hears the answer.
export function ask(fields, gesture = "", then = null) {
  const last = waiting[waiting.length - 1];
  latest = gesture;
  fields.told = String(fields);
  fields.stands = standing();
  // The one that is under way stays.
  if (gesture && last && last.gesture === gesture && waiting.length > (busy ? 1 : 0)) waiting.pop();
  waiting.push({ fields: aim(fields), gesture, then });
  if (!busy) pump();
}

export const change = (fields, gesture = "", then = null) => ask(new URLSearchParams(fields), gesture, then);

// What was typed into an older picture was not taken, which is said: to ask for the same fields again, as the Enter key does
// beside the field that was left, would answer that all is well.
function forget() {
  if (typedIn.size) return;
  const stay = waiting.filter(({ fields, then }) => then || !fields.isWholeForm || (fields.get("do") || "redraw") !== "redraw");
  waiting.splice(0, waiting.length, ...stay);
}

async function pump() {
  busy = true;
  while (waiting.length) {
    const { gesture, then } = waiting[0];
    // What is not there any more is not taken out once more, and nothing else in its place.
    if (!meets(waiting[0].fields, gesture)) {
      waiting.shift();
      if (then) then({});
      continue;
    }
    const fields = asNow(waiting[0].fields);
    fields.set("seq", String(++seq));
    fields.set("at", byId("at").value);
    // Where the units change, what stands typed keeps the one that it was typed in.
    fields.set("shown", units());
    if (!gesture && Object.keys(fields.stands).length) fields.set("stands", JSON.stringify(fields.stands));
    if (gesture) fields.set("gesture", gesture);
    // Another window may have changed the plan: what was typed here is told back then.
    if (fields.isWholeForm) fields.set("mine", [...fields.typed].join(" "));
    // What was put in beside a text since it was begun is not in it, and is told back.
    if (fields.get("do") === "text") fields.set("begun", begunFrom());
    // What of this window the change leaves out is told along with it.
    const left = JSON.stringify(standsHere({ isAsked: true, isWholeForm: Boolean(fields.isWholeForm && fields.get("do")) }));
    fields.set("window", windowName());
    fields.set("left", left);
    // A movement may bring a row more, and the form is sent only where it has another number of them.
    if (byId("form")) fields.set("rows", Object.entries(newRows(byId("form"))).map((one) => one.join(".")).join(","));
    // What keeps a hand waiting is said: a slow answer after 0.8 s, none at all after 10 s.
    const slow = setTimeout(() => say("Still working on it."), 800);
    const stalled = setTimeout(() => say("No answer for 10 s. Is closures serve still running?"), 10000);
    let parts = null;
    try {
      const answer = await fetch(location.pathname + "/change", {
        method: "POST", body: fields, headers: { accept: "application/json" },
      });
      if (answer.status === 403) silent(ANEW);
      else parts = await answer.json();
    } catch {
      silent("The page does not answer. Is closures serve still running? What you changed last is not in the picture; " +
        "it is asked again as soon as there is an answer.");
    }
    clearTimeout(slow);
    clearTimeout(stalled);
    say("");
    if (parts === null) {
      await answering();
      continue;
    }
    await letGo();
    waiting.shift();
    try {
      if (!parts.stale) toldAlong(left);
      show(parts, fields, waiting);
      if (parts.stale) { forget(); aimAnew(); }
      if (then) then(parts);
    } catch (error) {
      trouble("The answer could not be shown: load the page anew.");
      throw error;
    }
  }
  busy = false;
  const asked = wanted;
  wanted = null;
  held();
  if (asked && !unfinished()) asked.form.requestSubmit(asked.button);
}

// Another run of closures serve has another secret: an older window is let in once its browser came by the new address.
const ANEW = "closures serve was started anew since this page was loaded. Open the address that it printed, in this browser: " +
  "this page then goes on where it was. What you changed last is not in the picture; it is asked again then.";

// Until there is an answer again: the same work is there then, for the server keeps it.
async function answering() {
  for (;;) {
    await new Promise((done) => setTimeout(done, 1000));
    try {
      const answer = await fetch(location.pathname + "/turn", { cache: "no-store" });
      if (answer.status !== 403) return mended();
      silent(ANEW);
    } catch {
      // Not yet.
    }
  }
}
