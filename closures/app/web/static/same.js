// Which thing of a new picture is the one that a hand holds: its number changes with the row around it, the thing itself does not.
import { picture } from "./names.js";

// What can be taken hold of, as the picture shows it now. A closure goes where the fixed place goes at which it sits; fixed
// places and clear stretches go by their names.
export const things = () => [...picture.querySelectorAll(".handle[data-part]")].map((one) => ({
  id: one.id, what: one.dataset.what, n: Number(one.dataset.n), part: one.dataset.part, along: Number(one.dataset.along),
  name: (one.dataset.what === "mark" ? one.dataset.at : one.getAttribute("aria-label")) || "",
}));
// Pictures that show the same things at the same places are one picture.
export const looks = (all) => all.map((one) => `${one.id} ${one.name} ${one.along.toFixed(3)}`).join("|");

const nearest = (all, along) => all.reduce((best, one) => (!best || Math.abs(one.along - along) < Math.abs(best.along - along) ? one : best), null);
const named = (all) => {
  const times = new Map();
  for (const { name } of all) times.set(name, (times.get(name) || 0) + 1);
  return (name) => name !== "" && times.get(name) === 1;
};

// The thing that was held, among those that are there after what was done: null where it is gone.
export function same(held, before, after, done, isMoved) {
  const alike = (all) => all.filter((one) => one.what === held.what && one.part === held.part);
  const was = alike(before), is = alike(after), [what, sort, n] = (done.get("do") || "").split(" ");
  const isOut = (what === "without" || what === "remove") && sort === held.what;
  if (isOut && Number(n) === held.n) return null;
  // Where a hand sets a closure, there it lies, whatever number it has there.
  if (isMoved && held.what === "mark") return nearest(is, Number(done.get("along")));
  const before1 = named(was), after1 = named(is), stays = ({ name }) => before1(name) && after1(name);
  if (stays(held)) return is.find(({ name }) => name === held.name);
  const old = was.filter((one) => !stays(one) && !(isOut && one.n === Number(n)));
  let fresh = is.filter((one) => !stays(one));
  if (what === "set" && sort === held.what) {
    const made = nearest(fresh, Number(done.get("along")));
    fresh = fresh.filter((one) => one !== made);
  }
  if (old.length === fresh.length) return fresh[old.findIndex(({ id }) => id === held.id)];
  // A closure that was set by a hand goes with the step that set it; of a row that is made anew the nearest one is meant.
  return held.what !== "mark" || (held.name && /^(undo|redo)$/.test(what)) ? null : nearest(is, held.along);
}
