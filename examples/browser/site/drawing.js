// The drawing of the path, in which marks are set.
"use strict";

let path = null;
let still = null; // of the film, to click on: an img
async function showStill(file) {
  fail("");
  if (still) URL.revokeObjectURL(still.src);
  still = null;
  if (file) {
    const img = new Image();
    img.src = URL.createObjectURL(file);
    try {
      await img.decode();
      still = img;
    } catch {
      URL.revokeObjectURL(img.src);
      fail(`${file.name} is no picture that this browser shows: give a still of the film as PNG or JPEG.`);
    }
  }
  draw();
}
$("still").addEventListener("change", () => showStill($("still").files[0] || null));
// showPath reports whether the program was left to answer.
async function showPath() {
  const got = await ask("path", $("tip").value);
  path = got.json ? JSON.parse(got.json) : null;
  if (got.error) fail(got.error);
  draw();
  return !got.stopped;
}
$("tip").addEventListener("change", showPath);
$("y-up").addEventListener("change", draw);
let drawnFor = 0;
new ResizeObserver(() => { if (take && $("drawing").clientWidth !== drawnFor) draw(); }).observe($("drawing"));

const svg = (name, attributes, ...children) => {
  const e = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  e.append(...children);
  return e;
};
let toPicture = null; // from the drawing to the film

function draw() {
  const width = $("drawing").clientWidth;
  if (!take || take.spatial || !width) return;
  drawnFor = width;
  const fixed = shownMarks().map((id) => {
    const m = markOf(id);
    const p = Array.isArray(m) ? { x: m[0], y: m[1] } : take.places.find((q) => q.name === m);
    return p && Number.isFinite(p.x) && Number.isFinite(p.y) ? { ...p, ...marks[id] } : null;
  }).filter(Boolean);
  const xs = [...take.places, ...fixed].map((p) => p.x), ys = [...take.places, ...fixed].map((p) => p.y);
  if (path && path.runs.length) {
    xs.push(path.box[0], path.box[2]);
    ys.push(path.box[1], path.box[3]);
  }
  let x0 = Math.min(...xs), x1 = Math.max(...xs), y0 = Math.min(...ys), y1 = Math.max(...ys);
  // Room about it: marks that are not there yet lie outside the path.
  let room = (fixed.length < 2 ? 0.6 : 0.2) * Math.max(x1 - x0, y1 - y0, 1);
  if (still) {
    room = 0;
    [x0, x1, y0, y1] = [Math.min(x0, 0), Math.max(x1, still.naturalWidth), Math.min(y0, 0), Math.max(y1, still.naturalHeight)];
  }
  if (!Number.isFinite(x0 + x1 + y0 + y1)) return;
  x0 -= room; x1 += room; y0 -= room; y1 += room;
  const height = Math.round(Math.min(520, Math.max(280, width * (y1 - y0) / (x1 - x0))));
  const k = Math.min(width / (x1 - x0), height / (y1 - y0)); // the same both ways
  const up = $("y-up").checked ? -1 : 1;
  const cx = (x0 + x1) / 2, cy = (y0 + y1) / 2;
  const X = (x) => width / 2 + k * (x - cx), Y = (y) => height / 2 + up * k * (y - cy);
  toPicture = (px, py) => [cx + (px - width / 2) / k, cy + up * (py - height / 2) / k];

  const parts = [svg("rect", { x: 0, y: 0, width, height, fill: "#ffffff" })];
  if (still) {
    parts.push(svg("image", { href: still.src, x: X(0), y: Math.min(Y(0), Y(still.naturalHeight)), width: k * still.naturalWidth, height: k * still.naturalHeight }));
  }
  for (const run of (path || { runs: [] }).runs) {
    const at = [];
    for (let i = 0; i < run.length; i += 2) at.push(`${X(run[i]).toFixed(1)},${Y(run[i + 1]).toFixed(1)}`);
    const line = { points: at.join(" "), fill: "none" };
    if (still) parts.push(svg("polyline", { ...line, stroke: "#ffffff", "stroke-width": 3 }));
    parts.push(svg("polyline", { ...line, stroke: "#4a4a4a", "stroke-width": 1, "stroke-opacity": still ? 1 : 0.55 }));
  }
  const taken = [];
  const label = (x, y, text) => {
    const w = 8.5 * text.length + 6;
    for (const [lx, ly] of [[x + 10, y + 5], [x - 10 - w, y + 5], [x - w / 2, y - 12], [x - w / 2, y + 24]]) {
      const box = [lx - 2, ly - 16, lx + w, ly + 6];
      if (box[0] < 0 || box[2] > width || box[1] < 0 || box[3] > height) continue;
      if (taken.some((b) => box[0] < b[2] && b[0] < box[2] && box[1] < b[3] && b[1] < box[3])) continue;
      taken.push(box);
      parts.push(svg("text", { x: lx, y: ly, fill: "#1b1b1b", stroke: "#ffffff", "stroke-width": 4, "paint-order": "stroke" }, text));
      return;
    }
  };
  const tip = path && path.runs.length ? [(path.box[0] + path.box[2]) / 2, (path.box[1] + path.box[3]) / 2] : null;
  for (const m of fixed) {
    parts.push(svg("circle", { cx: X(m.x), cy: Y(m.y), r: 7, fill: m.colour, stroke: "#ffffff", "stroke-width": 2 }));
    label(X(m.x), Y(m.y), m.text);
  }
  if (tip) label(X(tip[0]), Y(tip[1]), "path of the tip");
  for (const p of take.places) {
    if (p.name === $("tip").value || fixed.some((m) => m.name === p.name)) continue;
    parts.push(svg("circle", { cx: X(p.x), cy: Y(p.y), r: 4, fill: "#ffffff", stroke: "#4a4a4a", "stroke-width": 2 }, svg("title", {}, p.name)));
    label(X(p.x), Y(p.y), p.name.length > 24 ? `${p.name.slice(0, 23)}…` : p.name);
  }
  const said = fixed.map((m) => `${m.text} at ${m.x}, ${m.y}`).join("; ") || "no mark is set";
  $("drawing").replaceChildren(svg("svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "img", "aria-label": `The tip's path in the film; ${said}.` }, ...parts));
}

$("drawing").addEventListener("click", (e) => {
  const drawn = $("drawing").firstElementChild;
  if (!drawn || !toPicture) return;
  const box = drawn.getBoundingClientRect(), view = drawn.viewBox.baseVal;
  const at = toPicture((e.clientX - box.left) * view.width / box.width, (e.clientY - box.top) * view.height / box.height);
  const id = chosen(), next = (id.startsWith("card-") ? corners : ["bass", "treble"]).find((_, i, all) => all[i - 1] === id);
  setMark(id, at);
  if (next) $(`click-${next}`).checked = true;
});
// Arrow keys move the mark too, by a pixel of the drawing or by ten.
$("drawing").addEventListener("keydown", (e) => {
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
  if (!way || !toPicture) return;
  e.preventDefault();
  const step = e.shiftKey ? 10 : 1, [x0, y0] = toPicture(0, 0), [x1, y1] = toPicture(way[0] * step, way[1] * step);
  const m = markOf(chosen());
  const from = Array.isArray(m) && m.every(Number.isFinite) ? m : toPicture($("drawing").clientWidth / 2, $("drawing").clientHeight / 2);
  setMark(chosen(), [from[0] + x1 - x0, from[1] + y1 - y0]);
});
// setMark sets a mark to a place in the picture.
function setMark(id, at) {
  $(id).value = place;
  $(`${id}-x`).value = at[0].toFixed(1);
  $(`${id}-y`).value = at[1].toFixed(1);
  fieldsShown();
  draw();
}
for (const id of Object.keys(marks)) {
  for (const field of [id, `${id}-x`, `${id}-y`]) $(field).addEventListener("change", () => { fieldsShown(); draw(); });
}
$("card").addEventListener("change", () => {
  if ($("card").checked) $("click-card-1").checked = true;
  fieldsShown();
  draw();
});
