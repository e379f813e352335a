// Places on an edge, tapped on a picture of it; the field beside it holds them, in the picture's own pixels.
import { byId } from "./names.js";

const NEW = "http://www.w3.org/2000/svg";
const photo = byId("photo"), field = byId("f-edge.trace.through");
const places = () => field.value.split(/[;\n]/).map((one) => one.split(",").map((part) => part.trim())).filter((one) =>
  one.length === 2 && one.every((part) => /^\d+(\.\d+)?$/.test(part))).map((one) => one.map(Number));

function draw() {
  byId("traced")?.remove();
  // Once it is there, it is drawn on.
  if (!photo.naturalWidth) return;
  const wide = photo.naturalWidth, high = photo.naturalHeight, all = places(), shown = wide / photo.clientWidth;
  const svg = document.createElementNS(NEW, "svg");
  for (const [key, value] of Object.entries({ id: "traced", viewBox: `0 0 ${wide} ${high}`, "aria-hidden": "true" })) svg.setAttribute(key, value);
  const line = document.createElementNS(NEW, "polyline");
  line.setAttribute("points", all.map((one) => one.join(",")).join(" "));
  svg.append(line);
  for (const [n, [x, y]] of all.entries()) {
    const dot = document.createElementNS(NEW, "circle"), text = document.createElementNS(NEW, "text");
    for (const [key, value] of Object.entries({ cx: x, cy: y, r: 5 * shown })) dot.setAttribute(key, value);
    for (const [key, value] of Object.entries({ x: x + 9 * shown, y, "font-size": 16 * shown, dy: "0.35em" })) text.setAttribute(key, value);
    text.textContent = String(n + 1);
    svg.append(dot, text);
  }
  photo.after(svg);
  byId("trace-back").hidden = !all.length;
  const says = `${all.length} ${all.length === 1 ? "place" : "places"} on the edge.`;
  if (byId("trace-told").textContent !== says) byId("trace-told").textContent = says;
}
function write(all) {
  field.value = all.map((one) => one.join(", ")).join("\n");
  draw();
}

if (photo) {
  byId("picture").addEventListener("click", (event) => {
    const box = photo.getBoundingClientRect(), share = photo.naturalWidth / box.width;
    const at = [event.clientX - box.left, event.clientY - box.top].map((one) => Math.round(one * share));
    if (at[0] < 0 || at[1] < 0 || at[0] >= photo.naturalWidth || at[1] >= photo.naturalHeight) return;
    write([...places(), at]);
  });
  byId("trace-back").addEventListener("click", () => write(places().slice(0, -1)));
  field.addEventListener("input", draw);
  addEventListener("resize", draw);
  if (photo.complete && photo.naturalWidth) draw();
  else photo.addEventListener("load", draw);
}
