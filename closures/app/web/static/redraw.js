// What was answered, laid over what stands: what is alike stays as it is, and only the rest is read, laid out and painted anew.

// The server writes it between parts that come and go by themselves.
const SEAM = "<!--|-->";
// Where a form leads without a script says which picture it was pressed at, and nothing else differs.
export const without = (html) => html.replace(/( action="[^"]*)[?]at=\d+"/g, '$1"');
// What was laid last into each place, in its parts.
const laid = new Map();

function nameAlike(old, made) {
  for (const { name } of [...old.attributes]) if (!made.hasAttribute(name)) old.removeAttribute(name);
  for (const { name, value } of made.attributes) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
}

function renew(old, made) {
  if (old.isEqualNode(made)) return;
  if (old.nodeName !== made.nodeName || old.id !== made.id || old.childNodes.length !== made.childNodes.length)
    return old.replaceWith(made);
  // What is written anew in place is neither taken off the screen nor put on it.
  if (made.nodeType !== Node.ELEMENT_NODE) { old.data = made.data; return; }
  nameAlike(old, made);
  const fresh = [...made.childNodes];
  [...old.childNodes].forEach((one, n) => renew(one, fresh[n]));
}

function seamsIn(place) {
  const found = [], walk = document.createTreeWalker(place, NodeFilter.SHOW_COMMENT);
  while (walk.nextNode()) if (walk.currentNode.data === "|") found.push(walk.currentNode);
  return found;
}

// How dense a pattern is follows from how close the picture is.
function keepDense(place, fresh) {
  for (const each of fresh.querySelectorAll("pattern[patternTransform]")) {
    const stood = place.querySelector("#" + CSS.escape(each.id))?.getAttribute("patternTransform");
    if (stood) each.setAttribute("patternTransform", stood);
  }
}

function renewBetween(place, before, behind, html) {
  const range = document.createRange();
  range.setStartAfter(before);
  range.setEndBefore(behind);
  const fresh = range.createContextualFragment(html), old = [];
  for (let one = before.nextSibling; one && one !== behind; one = one.nextSibling) old.push(one);
  keepDense(place, fresh);
  const made = [...fresh.childNodes];
  if (old.length === made.length) return old.forEach((one, n) => renew(one, made[n]));
  range.deleteContents();
  before.after(...made);
}

// The parts that differ, where what lies about them is the same or one element alone; otherwise nothing is done.
function inParts(place, parts, whole, last) {
  if (!last || last.first !== place.firstChild || parts.length < 3 || parts.length !== last.parts.length) return false;
  const end = parts.length - 1, seams = seamsIn(place);
  if (parts[end] !== last.parts[end] || seams.length !== end) return false;
  const about = seams[0].parentNode, isOne = about === place.firstChild && about.firstChild === seams[0];
  if (parts[0] !== last.parts[0] && !isOne) return false;
  const differ = parts.map((one, n) => n).filter((n) => n && parts[n] !== last.parts[n]);
  // What begins in one element and ends in another is no part by itself.
  if (differ.some((n) => seams[n - 1].parentNode !== seams[n].parentNode)) return false;
  if (isOne) {
    const made = document.createElement("template");
    made.innerHTML = parts[0] + parts[end];
    nameAlike(about, made.content.firstChild);
  }
  // Neighbours are read at once.
  for (let n = 0, to; n < differ.length; n = to + 1) {
    for (to = n; differ[to + 1] === differ[to] + 1 && seams[differ[to]].parentNode === seams[differ[to + 1]].parentNode;) to += 1;
    renewBetween(place, seams[differ[n] - 1], seams[differ[to]], whole.slice(differ[n], differ[to] + 1).join(SEAM));
  }
  return true;
}

export function lay(place, html) {
  // What a hand laid into the picture is laid there again, and what it moved or marked lies as it was answered.
  for (const own of place.querySelectorAll("#caret, #laid")) own.remove();
  for (const own of place.querySelectorAll(":is(.handle, .mark, .slides)[transform]")) own.removeAttribute("transform");
  for (const own of place.querySelectorAll(".provisional, .shown")) own.classList.remove("provisional", "shown");
  const whole = html.split(SEAM), parts = whole.map(without);
  if (!inParts(place, parts, whole, laid.get(place.id))) {
    const made = document.createElement("template");
    made.innerHTML = html;
    keepDense(place, made.content);
    const fresh = [...made.content.childNodes];
    if (place.childNodes.length !== fresh.length) place.replaceChildren(...fresh);
    else [...place.childNodes].forEach((each, n) => renew(each, fresh[n]));
  }
  laid.set(place.id, { parts, first: place.firstChild });
}
