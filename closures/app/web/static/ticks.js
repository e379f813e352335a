// The steps of an order of work, ticked off as they are done, and still so when the page is opened again.
// A step is known by its words: one that the plan has changed since is to be done, or read, anew.

const kept = "ticked " + location.pathname;
const steps = [...document.querySelectorAll("ol.ticks > li")];

function remembered() {
  try {
    return new Set(JSON.parse(localStorage.getItem(kept) || "[]"));
  } catch {
    return new Set();
  }
}

function remember(ticked) {
  try {
    localStorage.setItem(kept, JSON.stringify([...ticked]));
  } catch {
    // A browser that keeps nothing: the ticks hold as long as the page is open.
  }
}

function begin() {
  const ticked = remembered(), boxes = [];
  const told = document.createElement("p");
  told.id = "ticks-told";
  told.setAttribute("role", "status");
  const tell = () => {
    const open = boxes.map((box, n) => (box.checked ? 0 : n + 1)).filter(Boolean);
    const last = boxes.reduce((most, box, n) => (box.checked ? n + 1 : most), 0);
    const passed = open.filter((n) => n < last);
    told.textContent = passed.length
      ? `Passed over: ${passed.length === 1 ? "step" : "steps"} ${passed.join(", ")}.`
      : open.length === boxes.length ? "Tick a step when it is right." : open.length ? `Next: step ${open[0]}.` : "Every step is done.";
    told.className = passed.length ? "held" : "hint";
  };
  for (const step of steps) {
    const label = document.createElement("label"), box = document.createElement("input"), text = document.createElement("span");
    const words = step.textContent.trim();
    box.type = "checkbox";
    box.checked = ticked.has(words);
    const alone = step.children.length === 1 && step.firstElementChild.matches("p") ? step.firstElementChild : step;
    text.append(...alone.childNodes);
    if (alone !== step) alone.remove();
    label.append(box, text);
    step.append(label);
    boxes.push(box);
    box.addEventListener("change", () => {
      if (box.checked) ticked.add(words);
      else ticked.delete(words);
      remember(ticked);
      tell();
    });
  }
  steps[0].parentElement.before(told);
  tell();
}

if (steps.length) begin();
