// What stands typed and is in no picture yet, as a row that is not added: this window keeps it, so that it is there again after
// a reload. What two windows show is their own until it is asked for.
import { typedIn } from "./aimed.js";
import { byId } from "./names.js";
import { beginTelling, standsHere } from "./standing.js";
import { begun, begunFrom, goOnFrom, held, inNew, trouble, units } from "./showing.js";

const KEPT = "typed " + location.pathname;

// A row is known by its section alone: it may have another number when the page comes again.
const inRows = () => [...document.querySelectorAll("#form .new [name]:not(button)")].filter((one) => one.type !== "radio" || one.checked);
const isFilled = (one) => Boolean(one.value.trim()) && !one.matches("select");

function keep() {
  const told = { at: byId("at").value, units: units() };
  if (inRows().some(isFilled)) told.rows = inRows().map((one) => [one.name, one.value]);
  if (typedIn.size) told.fields = [...typedIn];
  if (begun()) Object.assign(told, { text: byId("text").value, from: begunFrom() });
  try {
    told.said = standsHere();
    if (told.rows || told.fields || told.text !== undefined) sessionStorage.setItem(KEPT, JSON.stringify(told));
    else sessionStorage.removeItem(KEPT);
  } catch {
    // A window that keeps nothing warns before it is left.
  }
}

function open(one) {
  for (let around = one.closest("details"); around; around = around.parentElement.closest("details")) around.open = true;
}
function setRow(name, text) {
  const one = inNew(name);
  if (!one) return false;
  one.value = text;
  if (isFilled(one)) open(one);
  return true;
}
// A field is asked for as if the hand had left it just now.
function setField(name, text) {
  const all = [...document.querySelectorAll(`#form [name="${CSS.escape(name)}"]`)].filter((one) => !one.closest(".new"));
  const one = all.find((each) => each.type === "radio" ? each.value === text : each.type !== "checkbox");
  if (!one) return false;
  if (one.type === "radio" ? one.checked : one.value === text) return true;
  one.value = text;
  if (one.type === "radio") one.checked = true;
  open(one);
  for (const what of ["input", "change"]) one.dispatchEvent(new Event(what, { bubbles: true }));
  return true;
}
const stands = (name, text) => [...document.querySelectorAll(`#form [name="${CSS.escape(name)}"]`)].some((one) => one.value === text);

// A row whose answer came after the page was left stands in the plan by now: it is not offered once more.
function isAdded(rows, section) {
  const written = rows.filter(([name, text]) => name.startsWith(section + ".") && text.trim());
  const count = Number(inNew(written[0][0])?.name.split(".")[1] || 0);
  const nth = (name, n) => name.replace(/^([a-z_]+)[.]\d+[.]/, `$1.${n}.`);
  return [...Array(count).keys()].some((n) => written.every(([name, text]) => stands(nth(name, n), text)));
}

function putBack() {
  const told = JSON.parse(sessionStorage.getItem(KEPT) || "{}"), lost = [];
  const isSameUnit = told.units === units(), rows = told.rows || [];
  const sectionOf = ([name]) => name.split(".")[0], filled = new Set(rows.filter(([, text]) => text.trim()).map(sectionOf));
  const taken = told.at === byId("at").value ? [] : [...filled].filter((section) => isAdded(rows, section));
  for (const [name, text] of rows.filter((row) => !taken.includes(sectionOf(row))))
    if ((!isSameUnit || !setRow(name, text)) && text.trim()) lost.push([name, text]);
  // What was changed meanwhile, by an answer that came too late or in another window, is not taken back.
  for (const [name, text] of told.fields || [])
    if (!stands(name, text) && (!isSameUnit || told.at !== byId("at").value || !setField(name, text))) lost.push([name, text]);
  if (told.text !== undefined && told.text !== byId("text").value) {
    byId("text").value = told.text;
    goOnFrom(told.from);
    byId("d-text").open = true;
  }
  held();
  const written = lost.filter(([name, text]) => text.trim() && !document.querySelector(`#form select[name="${CSS.escape(name)}"]`));
  if (written.length)
    trouble(`The plan was changed since this was typed${isSameUnit ? "" : ", and its units too"}; it was not put in again: “` +
      written.map(([, text]) => text).join("”, “") + "”.");
}

// The forms with which a plan begins are filled in again after a reload or a step back alone: another begins empty.
const BEGUN = "begun " + location.pathname;
const asked = () => [...document.querySelectorAll("form.numbers [name]:not(button, [type=file], [type=hidden])")];
const isBack = () => ["reload", "back_forward"].includes(performance.getEntriesByType("navigation")[0]?.type);
const isSet = (one) => !["radio", "checkbox"].includes(one.type) || one.checked;
function keepBegun() {
  try {
    sessionStorage.setItem(BEGUN, JSON.stringify(asked().filter(isSet).map((one) => [one.name, one.value])));
  } catch {
    // A window that keeps nothing begins anew.
  }
}
function beginAgain() {
  const told = JSON.parse(sessionStorage.getItem(BEGUN) || "[]");
  sessionStorage.removeItem(BEGUN);
  if (!isBack() || !told.length || document.querySelector("[aria-invalid]")) return;
  const left = new Map();
  for (const [name, text] of told) left.set(name, [...(left.get(name) || []), text]);
  for (const one of asked()) {
    if (["radio", "checkbox"].includes(one.type)) one.checked = (left.get(one.name) || []).includes(one.value);
    else if (left.get(one.name)?.length) one.value = left.get(one.name).shift();
    if (one.value && isSet(one) && one.value !== one.defaultValue && !one.matches("[type=radio]")) open(one);
    // Whatever is drawn of a form, as a line that is chosen or a tape, is drawn of what stands in it.
    if (isSet(one)) for (const what of ["input", "change"]) one.dispatchEvent(new Event(what, { bubbles: true }));
  }
}

if (!byId("change") && document.querySelector("form.numbers")) {
  try {
    beginAgain();
  } catch {
    // What cannot be read is none of ours.
  }
  addEventListener("pagehide", keepBegun);
}
if (byId("change")) {
  try {
    putBack();
  } catch {
    // What cannot be read is none of ours.
  }
  beginTelling();
  for (const what of ["input", "change"]) document.addEventListener(what, keep);
  addEventListener("pagehide", keep);
  new MutationObserver(keep).observe(byId("at"), { attributes: true });
}
