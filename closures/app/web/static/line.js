// The closing line of the picture: from a place on the screen to a length along it, and back.
import { worn } from "./names.js";

// The line is read once for each picture: a hand asks for it sixty times a second.
let told = "", line = [], length = 1;
function read() {
  const { line: now, length: long } = worn().dataset;
  if (told === now + long) return;
  told = now + long;
  line = JSON.parse(now);
  length = Number(long);
}

// Where the picture lies on the screen now.
export const lies = () => worn().getScreenCTM();

// The place on the line nearest to a pointer, and how far off the pointer is, in pixels.
export function nearest(event, matrix = lies()) {
  read();
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  let best = Infinity, along = 0;
  for (let i = 0; i + 1 < line.length; i++) {
    const [x0, y0] = line[i], dx = line[i + 1][0] - x0, dy = line[i + 1][1] - y0;
    const share = Math.min(1, Math.max(0, ((at.x - x0) * dx + (at.y - y0) * dy) / (dx * dx + dy * dy)));
    const far = Math.hypot(at.x - x0 - share * dx, at.y - y0 - share * dy);
    if (far < best) { best = far; along = (i + share) / (line.length - 1) * length; }
  }
  return { along, far: best * matrix.a };
}

export const alongAt = (event, matrix) => nearest(event, matrix).along;

export function lineLength() {
  read();
  return length;
}

// The place at a length along the line, between the samples that the picture carries.
export function placeAt(along) {
  read();
  const at = Math.min(length, Math.max(0, along)) / length * (line.length - 1), i = Math.min(Math.floor(at), line.length - 2);
  return [0, 1].map((k) => line[i][k] + (at - i) * (line[i + 1][k] - line[i][k]));
}
