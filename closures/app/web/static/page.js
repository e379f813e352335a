// What hands do: drag and arrow keys on the picture, redraws while typing. Without it every button still works.
"use strict";
(() => {
  const byId = (id) => document.getElementById(id);
  const change = () => byId("change");
  const waiting = [];
  let busy = false, redrawing = false, seq = 0, gestures = 0;

  // One change at a time, in the order in which they were made; of one gesture only the latest is worth asking.
  function ask(fields, gesture = "") {
    const last = waiting[waiting.length - 1];
    if (gesture && last && last.gesture === gesture) waiting.pop();
    waiting.push({ fields, gesture });
    if (!busy) pump();
  }

  async function pump() {
    busy = true;
    while (waiting.length) {
      const { fields, gesture } = waiting.shift();
      fields.set("seq", String(++seq));
      fields.set("at", byId("at").value);
      if (gesture) fields.set("gesture", gesture);
      // What keeps a hand waiting is said: a slow answer after 0.8 s, none at all after 10 s.
      const slow = setTimeout(() => say("Still working on it."), 800);
      const stalled = setTimeout(() => say("No answer for 10 s. Is closures serve still running?"), 10000);
      try {
        const answer = await fetch(location.pathname + "/change", {
          method: "POST", body: fields, headers: { accept: "application/json" },
        });
        show(await answer.json(), fields.get("do") === "text");
      } catch {
        trouble("The page does not answer. Is closures serve still running? What you changed last is not in the picture.");
      } finally {
        clearTimeout(slow);
        clearTimeout(stalled);
        say("");
      }
    }
    busy = false;
    const asked = wanted;
    wanted = null;
    held();
    if (asked && !unfinished()) asked.form.requestSubmit(asked.button);
  }
  // A file that was asked for while the picture is being drawn comes when it is drawn.
  let wanted = null;

  function say(text) {
    if (byId("slow").textContent !== text) byId("slow").textContent = text;
  }

  function trouble(text) {
    const box = document.createElement("div"), line = document.createElement("p");
    box.className = "trouble";
    line.textContent = text;
    box.append(line);
    byId("message").replaceChildren(box);
  }

  function put(id, html) {
    if (html === undefined || !byId(id)) return;
    const at = document.activeElement, within = at && at !== document.body && byId(id).contains(at);
    const held = within ? at.id : "", around = within ? at.closest("details")?.id : "";
    const open = [...byId(id).querySelectorAll("details")].map((one) => [one.id, one.open]);
    // What is being typed into a row that is not added yet stays.
    const begun = [...byId(id).querySelectorAll(".new [name]")].map((one) => [one.name, one.value]);
    redrawing = true;
    byId(id).innerHTML = html;
    for (const [name, was] of begun) {
      const field = byId("f-" + name);
      if (field && field.closest(".new")) field.value = was;
    }
    for (const [name, was] of open) if (name && byId(name)) byId(name).open = was;
    // What had the focus may be gone, as a row that was removed: then the heading that it stood under takes it.
    const next = (held && byId(held)) || (around && byId(around)?.querySelector("summary")) ||
      (within && (byId(id).querySelector(".taken") || byId(id)));
    if (next) next.focus({ preventScroll: true });
    redrawing = false;
  }

  // A button that goes dead under the hand passes the focus on.
  function enable(one, other, can) {
    const had = document.activeElement === one;
    one.disabled = !can;
    if (had && !can) (other.disabled ? picture : other).focus({ preventScroll: true });
  }

  function show(parts, textRead) {
    if (parts.ok === undefined || (!parts.ok && !parts.wrong)) return trouble(parts.message || "This could not be done.");
    byId("message").innerHTML = parts.message;
    byId("at").value = String(parts.turn);
    if (byId("kept").textContent !== parts.kept) byId("kept").textContent = parts.kept;
    if (parts.brief) {
      const live = byId("live");
      live.className = parts.result;
      if (live.textContent !== parts.brief) live.textContent = parts.brief;
    }
    if (parts.can) {
      const undo = byId("undo"), redo = byId("redo");
      if (parts.can.redo) redo.disabled = false;
      canUndo = parts.can.undo;
      enable(undo, redo, parts.can.undo);
      enable(redo, undo, parts.can.redo);
    }
    if (!parts.ok && !parts.picture) {
      if (!drag) for (const one of picture.querySelectorAll(".provisional")) {
        one.removeAttribute("transform");
        one.classList.remove("provisional");
      }
      return mark(parts);
    }
    put("picture", parts.picture);
    follow();
    put("legend", parts.legend_html);
    put("findings", parts.findings_html);
    put("marks", parts.marks_html);
    put("form", parts.form_html);
    put("parts-picture", parts.parts_picture);
    for (const [name, text] of Object.entries(parts.values)) {
      const field = byId("f-" + name);
      if (field && field !== document.activeElement && field.value !== text) field.value = text;
    }
    byId("in-mm").setAttribute("aria-pressed", String(parts.units === "mm"));
    byId("in-in").setAttribute("aria-pressed", String(parts.units === "in"));
    const size = byId("size");
    if (size && !waiting.length && size.value !== parts.size) {
      size.value = parts.size;
      byId("size-slide").value = String(size.selectedIndex);
      byId("size-slide").setAttribute("aria-valuetext", size.value);
    }
    document.querySelector(".bar h1").textContent = parts.title;
    // A text that was begun and not read stays, and holds the print until it is read or taken back.
    const text = byId("text"), stays = begun() && !textRead;
    unsaved = unsaved || text.defaultValue !== parts.text;
    text.defaultValue = parts.text;
    if (!stays) text.value = parts.text;
    sheets();
    mark(parts);
  }

  // Leaving warns while something would be lost: what is in no file, and what is typed and not in the picture.
  let unsaved = false, fetching = false;
  addEventListener("beforeunload", (event) => {
    const keeps = byId("kept") && byId("kept").textContent.startsWith("Kept in");
    if (!fetching && byId("change") && ((unsaved && !keeps) || notInPicture())) event.preventDefault();
  });
  document.addEventListener("submit", (event) => {
    if (event.target.id !== "keep" || event.defaultPrevented) return;
    // A file that is fetched leads nowhere.
    fetching = true;
    setTimeout(() => { fetching = false; }, 2000);
    if (event.submitter?.id === "get-plan") unsaved = false;
  });

  // The sheets as they are drawn are those of the picture, on the chosen face of the cloth.
  function sheets() {
    const face = byId("face").value;
    for (const one of document.querySelectorAll("#d-sheets img"))
      one.src = one.dataset.src + "&face=" + face + "&at=" + byId("at").value;
  }

  // Beside each field that was refused stands why; what it holds is not in the picture.
  function mark(parts) {
    for (const one of document.querySelectorAll("main [aria-invalid]")) one.removeAttribute("aria-invalid");
    for (const one of document.querySelectorAll("main .wrong-words")) one.remove();
    for (const name of parts.wrong) {
      const field = name === "text" ? byId("text") : byId("f-" + name) || document.querySelector(`#form [name="${CSS.escape(name)}"]`);
      if (!field) continue;
      field.setAttribute("aria-invalid", "true");
      for (let around = field.closest("details"); around; around = around.parentElement.closest("details")) around.open = true;
      if (!parts.words[name]) continue;
      const words = document.createElement("span");
      words.className = "wrong-words";
      words.id = "w-" + name;
      words.textContent = parts.words[name];
      field.after(words);
      const told = (field.getAttribute("aria-describedby") || "").split(" ").filter((one) => one && one !== words.id);
      field.setAttribute("aria-describedby", [words.id, ...told].join(" "));
    }
    refused = Object.keys(parts.words).length > 0;
    held();
  }

  // While anything on the screen is not in the picture, nothing prints, and it is said what to finish.
  let refused = Boolean(document.querySelector("#form .wrong-words"));
  function unfinished() {
    return busy || waiting.length ? "The picture is being drawn." : notInPicture();
  }
  function notInPicture() {
    if (refused) return "Something that you typed is not in the picture: mend it, or take it back with Undo.";
    for (const row of document.querySelectorAll("#form .new"))
      for (const one of row.querySelectorAll("input, textarea"))
        if (one.value.trim()) return `“${row.querySelector("legend").textContent}” is filled in and not added: add it, or empty it.`;
    const text = byId("text");
    if (text && text.value !== text.defaultValue) return "“The plan as text” was changed and not read: read it, or take it back with Undo.";
    return "";
  }
  // The line above the picture is red for as long as the screen shows anything that the picture does not.
  function held() {
    const says = byId("print-held"), live = byId("live");
    if (!says) return;
    const told = wanted ? unfinished() : notInPicture();
    if (says.textContent !== told) says.textContent = told;
    live.classList.toggle("unfinished", Boolean(told) && !wanted);
    byId("undo").disabled = !(canUndo || begun());
  }
  let canUndo = Boolean(byId("undo") && !byId("undo").disabled);
  const begun = () => { const text = byId("text"); return Boolean(text) && text.value !== text.defaultValue; };

  // What is typed into a row that is not added yet is no part of the plan yet.
  function typed(form, button) {
    const fields = new URLSearchParams(new FormData(form));
    if (button && button.name) fields.set(button.name, button.value);
    // A button or the Enter key takes a row that is filled in; a change of another field does not.
    if (!button) for (const one of form.querySelectorAll(".new [name]")) fields.delete(one.name);
    return fields;
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.submitter?.id === "undo" && begun()) {
      event.preventDefault();
      byId("text").value = byId("text").defaultValue;
      held();
    } else if (form.id === "change" || form.hasAttribute("data-live")) {
      event.preventDefault();
      ask(typed(form, event.submitter || form.querySelector("button")));
    } else if (form.classList.contains("keep") && event.submitter?.id !== "get-plan" && unfinished()) {
      event.preventDefault();
      if (busy || waiting.length) wanted = { form, button: event.submitter };
      held();
      if (!wanted) byId("print-held").focus();
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
    });
    const verdict = await answer.json(), box = document.createElement("div");
    box.className = "verdict " + (verdict.good ? "pass" : "fail");
    for (const text of verdict.lines || [verdict.message]) {
      const line = document.createElement("p");
      line.textContent = text;
      box.append(line);
    }
    byId("verdict").replaceChildren(box);
  }

  document.addEventListener("input", (event) => { if (event.target.closest(".new, #text")) held(); });

  document.addEventListener("change", (event) => {
    const field = event.target;
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
    if (same) same.selected = true;
  }

  // Along the closing line from where a pointer is.
  function alongAt(event) {
    const svg = byId("worn"), line = JSON.parse(svg.dataset.line), length = Number(svg.dataset.length);
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    let best = Infinity, along = 0;
    for (let i = 0; i + 1 < line.length; i++) {
      const [x0, y0] = line[i], dx = line[i + 1][0] - x0, dy = line[i + 1][1] - y0;
      const share = Math.min(1, Math.max(0, ((at.x - x0) * dx + (at.y - y0) * dy) / (dx * dx + dy * dy)));
      const far = Math.hypot(at.x - x0 - share * dx, at.y - y0 - share * dy);
      if (far < best) { best = far; along = (i + share) / (line.length - 1) * length; }
    }
    return along;
  }

  function move(handle, along, gesture) {
    const { what, n, part } = handle.dataset;
    ask(new URLSearchParams({ do: "move", what, n, part, along: along.toFixed(4) }), gesture);
  }

  // The place at a length along the line, between the samples that the picture carries.
  function placeAt(along) {
    const svg = byId("worn"), line = JSON.parse(svg.dataset.line), length = Number(svg.dataset.length);
    const at = Math.min(length, Math.max(0, along)) / length * (line.length - 1), i = Math.min(Math.floor(at), line.length - 2);
    return [0, 1].map((k) => line[i][k] + (at - i) * (line[i + 1][k] - line[i][k]));
  }

  // What is dragged follows the hand at once, as a shadow of what is there; the row itself waits for its exact answer.
  function follow() {
    if (!drag || !drag.moved) return;
    const handle = byId(drag.id);
    if (!handle) return;
    const [x, y] = placeAt(drag.to), [x0, y0] = placeAt(Number(handle.dataset.along));
    handle.setAttribute("transform", `translate(${(x - x0).toFixed(2)} ${(y - y0).toFixed(2)})`);
    handle.classList.toggle("provisional", Math.hypot(x - x0, y - y0) > 0.5);
  }

  let drag = null;
  const picture = byId("picture");
  if (picture && byId("worn")) {
    picture.addEventListener("pointerdown", (event) => {
      const handle = event.target.closest(".handle");
      if (!handle || event.button) return;
      event.preventDefault();
      handle.focus({ preventScroll: true });
      picture.setPointerCapture(event.pointerId);
      picture.classList.add("dragging");
      drag = { handle, id: handle.id, to: Number(handle.dataset.along), gesture: "drag-" + ++gestures, off: Number(handle.dataset.along) - alongAt(event), moved: false };
    });
    picture.addEventListener("pointermove", (event) => {
      if (!drag) return;
      const to = alongAt(event) + drag.off;
      if (!drag.moved && Math.abs(to - Number(drag.handle.dataset.along)) < 0.5) return;
      drag.moved = true;
      drag.to = to;
      follow();
      move(drag.handle, to, drag.gesture);
    });
    const drop = () => {
      // What the last answer says of it holds, also where the hand went further than a row can.
      if (drag && !busy) byId(drag.id)?.removeAttribute("transform");
      drag = null; picture.classList.remove("dragging");
    };
    picture.addEventListener("pointerup", drop);
    picture.addEventListener("pointercancel", drop);
    picture.addEventListener("click", (event) => {
      const mark = event.target.closest(".mark");
      if (mark && !event.target.closest(".handle")) showMark(mark.id.slice(5), true);
    });
    picture.addEventListener("keydown", arrow);
    // A redraw takes the focus away and gives it back: the hand has not left the handle.
    picture.addEventListener("focusout", () => { if (!redrawing) keys = null; });
    document.querySelector(".zoom").hidden = false;
  }

  // Key after key on one handle is one step to undo.
  let keys = null;
  function arrow(event) {
    const handle = event.target.closest(".handle");
    if (!handle || event.ctrlKey || event.metaKey || event.altKey) return;
    const step = Number(handle.dataset.step), length = Number(byId("worn").dataset.length);
    const steps = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1, PageDown: 10, PageUp: -10 }[event.key];
    if (!keys || keys.id !== handle.id || event.timeStamp - keys.at > 1500)
      keys = { id: handle.id, along: Number(handle.dataset.along), gesture: "keys-" + ++gestures };
    if (event.key === "Home") keys.along = 0;
    else if (event.key === "End") keys.along = length;
    else if (steps) keys.along += steps * step * (event.shiftKey ? 10 : 1);
    else return;
    event.preventDefault();
    keys.at = event.timeStamp;
    keys.along = Math.min(length, Math.max(0, keys.along));
    move(handle, keys.along, keys.gesture);
  }

  function showMark(n, row) {
    for (const one of document.querySelectorAll(".shown")) one.classList.remove("shown");
    const mark = byId("mark-" + n), line = byId("row-" + n);
    if (mark) mark.classList.add("shown");
    if (line) line.classList.add("shown");
    (row ? line : picture).scrollIntoView({ block: "nearest" });
    if (row && byId("lock-" + n)) byId("lock-" + n).focus({ preventScroll: true });
    if (!row) picture.focus({ preventScroll: true });
  }

  document.addEventListener("click", (event) => {
    const held_back = event.target.closest("a[data-prints]");
    if (held_back && unfinished()) {
      event.preventDefault();
      held();
      byId("print-held").focus();
    }
    const link = event.target.closest('a[href^="#mark-"]');
    if (link) { event.preventDefault(); showMark(link.hash.slice(6), false); }
    const zoom = event.target.closest("[data-zoom]");
    if (zoom && zoom.tagName === "BUTTON") {
      const now = Number(picture.dataset.zoom || 0) + Number(zoom.dataset.zoom);
      picture.dataset.zoom = String(Math.min(3, Math.max(0, now)));
      for (const one of document.querySelectorAll(".zoom button"))
        one.setAttribute("aria-disabled", String(picture.dataset.zoom === (one.dataset.zoom < 0 ? "0" : "3")));
    }
    const line = event.target.closest(".line"), corner = event.target.closest(".corner");
    if (line) choose(line.dataset.n);
    if (corner) part(corner);
  });

  function choose(n) {
    byId("line-" + n).checked = true;
    if (byId("line-" + n).hasAttribute("data-closed")) byId("d-part").open = true;
    // Only the list is scrolled, never the page: the picture stays under the hand for the next click.
    const list = byId("line-" + n).closest("ol"), row = byId("line-" + n).closest("li");
    list.scrollTop = row.offsetTop - list.offsetTop - (list.clientHeight - row.offsetHeight) / 2;
    for (const one of document.querySelectorAll(".line, .corner"))
      one.classList.toggle("chosen", one.dataset.n === String(n));
  }

  // The first corner that is clicked is where the edge begins, the next one where it ends.
  function part(corner) {
    choose(corner.dataset.n);
    const from = byId("f-edge.from"), to = byId("f-edge.to");
    if (from.value && !to.value) to.value = corner.dataset.at;
    else { from.value = corner.dataset.at; to.value = ""; }
    byId("d-part").open = true;
    parted();
  }

  function parted() {
    for (const one of document.querySelectorAll(".corner"))
      for (const end of ["from", "to"]) one.classList.toggle(end, byId("f-edge." + end).value === one.dataset.at);
  }

  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || !byId("undo")) return;
    // In a field that is written in, the keys undo what was written there.
    if (document.activeElement.matches("textarea, input:not([type=radio], [type=range])")) return;
    const key = event.key.toLowerCase(), back = key === "z" && !event.shiftKey;
    if (!back && key !== "y" && !(key === "z" && event.shiftKey)) return;
    event.preventDefault();
    ask(new URLSearchParams({ do: back ? "undo" : "redo" }));
  });

  // The slider is the list of sizes again, for a hand.
  const slide = byId("size-slide"), size = byId("size");
  if (slide) {
    slide.hidden = false;
    const look = (gesture) => ask(new URLSearchParams({ do: "size", size: size.value }), gesture);
    slide.addEventListener("input", () => {
      size.selectedIndex = Number(slide.value);
      slide.setAttribute("aria-valuetext", size.value);
      look("sizes-" + gestures);
    });
    slide.addEventListener("change", () => ++gestures);
    size.addEventListener("change", () => { slide.value = String(size.selectedIndex); look(""); });
  }

  const chosen = document.querySelector('input[name="edge.path"][type=radio]:checked');
  if (chosen) choose(chosen.id.split("-")[1]);
  if (byId("d-part")) parted();

  const kind = byId("f-closure.kind");
  if (kind && kind.value) sizesOf(kind);
  // From here on nothing that a hand does is lost.
  document.body.classList.add("ready");
})();
