// What was asked of an older picture, said of the one that stands when it is its turn: answers that came meanwhile may have
// changed fields and numbers, and no change may take another back or meet another closure.
import { lineLength } from "./line.js";
import { byId, picture } from "./names.js";

// What was typed and is in no answer yet, name by name.
export const typedIn = new Map();
const aims = new Map();
const ROW = /^([a-z_]+)\.(\d+)\.(.+)$/;
const TARGET = /^(?:(lock|unlock)|without (mark|anchor|clear)) (\d+)$/;

const fresh = (form) => [...form.querySelectorAll(".new [name]")].map((one) => one.name);

// Which number the row that is not added yet has, section by section.
export function newRows(form) {
  const rows = {};
  for (const name of fresh(form)) {
    const found = ROW.exec(name);
    if (found) rows[found[1]] = Number(found[2]);
  }
  return rows;
}

// What a handle stands for: its name in the picture, which each answer that comes says anew, and where it lay when it was meant.
export const aimAt = (handle) => handle && { id: handle.id, along: Number(handle.dataset.along) };
const handleOf = (what, n) => [...picture.querySelectorAll(`.handle[data-what="${what}"][data-n="${n}"]`)]
  .find((one) => what !== "clear" || one.dataset.part === "whole");

// Note what a change is aimed at, as the hand sees it.
export function aim(fields) {
  if (fields.isWholeForm) {
    fields.typed = new Set(typedIn.keys());
    fields.fresh = new Set(fresh(byId("change")));
  }
  const found = TARGET.exec(fields.get("do") || "");
  if (found && !fields.aim) fields.aim = aimAt(handleOf(found[2] || "mark", found[3]));
  return fields;
}

// Another window changed the plan: a movement that goes on is one of the plan as it is now.
export const aimAnew = () => aims.clear();

// Whether what a change is aimed at is still there to be changed; it has the number then that the picture gives it now.
export function meets(fields, gesture) {
  if (!fields.aim) return true;
  const one = byId(fields.aim.id), [verb] = fields.get("do").split(" ");
  if (verb !== "move") {
    const isDone = one && (verb === "lock" || verb === "unlock") && one.classList.contains("locked") === (verb === "lock");
    if (one) fields.set("do", fields.get("do").replace(/\d+$/, one.dataset.n));
    return Boolean(one) && !isDone;
  }
  // Found once for a movement: what it moves itself may bring other numbers.
  if (!aims.has(gesture) && !one) return false;
  if (!aims.has(gesture)) aims.set(gesture, { n: one.dataset.n, far: Number(one.dataset.along) - fields.aim.along });
  const { n, far } = aims.get(gesture);
  fields.set("n", n);
  // Steps of keys go on from where it lies when they begin, also where the answer that brought it there came after the key.
  if (fields.isByStep) fields.set("along", Math.min(lineLength(), Math.max(0, Number(fields.get("along")) + far)).toFixed(4));
  return true;
}

// The change as it is to be sent now.
export function asNow(fields) {
  if (!fields.isWholeForm || !byId("change")) return fields;
  const now = new FormData(byId("change")), rows = newRows(byId("change"));
  for (const name of new Set(fields.keys())) {
    if (name === "do" || name === "seq" || name === "at") continue;
    const held = typedIn.has(name), row = ROW.exec(name);
    if (fields.fresh.has(name)) {
      // The row that is not added yet may have another number by now.
      if (row && rows[row[1]] !== undefined && rows[row[1]] !== Number(row[2])) {
        const text = fields.get(name);
        fields.delete(name);
        fields.moved = { ...fields.moved, [`${row[1]}.${rows[row[1]]}.${row[3]}`]: text };
      }
    } else if (held && fields.typed.has(name)) continue;
    else if (held || !now.has(name)) fields.delete(name);
    else fields.set(name, now.get(name));
  }
  for (const [name, text] of Object.entries(fields.moved || {})) fields.set(name, text);
  return fields;
}

// Rows were added or taken out: what is typed in a row goes with it. Tell what was in a row that is gone.
export function renumbered(sent, before, rows, waiting) {
  const found = /^(?:remove|without) ([a-z_]+) (\d+)$/.exec(sent.get("do") || ""), lost = [];
  for (const section of Object.keys(before)) {
    const was = before[section], is = rows[section] ?? 0;
    if (was === is) continue;
    const gone = found && found[1] === section && is === was - 1 ? Number(found[2]) : null;
    const isMore = is > was && !/^(undo|redo|text|repair|compare|take)/.test(sent.get("do") || "");
    const place = (n) => (isMore ? n : gone === null || n === gone ? null : n > gone ? n - 1 : n);
    for (const [name, text] of [...typedIn]) {
      const row = ROW.exec(name);
      if (!row || row[1] !== section) continue;
      const n = place(Number(row[2]));
      typedIn.delete(name);
      if (n === null) lost.push(text);
      else typedIn.set(`${section}.${n}.${row[3]}`, text);
    }
    for (const { fields } of waiting) again(fields, section, place, gone);
  }
  return lost.filter(Boolean);
}

function again(fields, section, place, gone) {
  if (gone !== null) {
    const told = /^remove ([a-z_]+) (\d+)$/.exec(fields.get("do") || "");
    if (told && told[1] === section) {
      const n = place(Number(told[2]));
      fields.set("do", n === null ? "redraw" : `remove ${section} ${n}`);
    }
  }
  if (!fields.isWholeForm) return;
  const moved = [];
  for (const [name, text] of [...fields]) {
    const row = ROW.exec(name), n = row && row[1] === section ? place(Number(row[2])) : undefined;
    if (n === undefined || fields.fresh.has(name)) continue;
    fields.delete(name);
    const had = fields.typed.delete(name);
    if (n !== null) moved.push([`${section}.${n}.${row[3]}`, text, had]);
  }
  for (const [name, text, had] of moved) {
    fields.set(name, text);
    if (had) fields.typed.add(name);
  }
}
