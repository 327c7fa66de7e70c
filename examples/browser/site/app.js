// The page's form: it gives files to the worker, shows what came of them, and gives
// back the settings.
"use strict";

const $ = (id) => document.getElementById(id);

// ask calls the program in the worker.
const worker = new Worker("worker.js");
const waiting = new Map();
let calls = 0;
function ask(call, ...args) {
  return new Promise((done) => {
    waiting.set(++calls, done);
    const moved = call === "open" ? args[0].map((f) => f.data.buffer) : [];
    worker.postMessage({ id: calls, call, args }, moved);
  });
}
worker.onmessage = ({ data }) => {
  if (data.ready) {
    document.documentElement.dataset.ready = "yes";
    if (!busy) say("Ready.");
  } else if (data.broken) {
    done();
    fail(data.broken);
  } else if (data.doing) {
    working(data.doing, data.share);
  } else {
    waiting.get(data.id)(data.got);
    waiting.delete(data.id);
  }
};
worker.onerror = (e) => {
  done();
  fail(`The page could not start: ${e.message}. Load it again, or use a newer browser.`);
};

// What the page says while it works, and where it fails.
let busy = false;
function say(text) { $("status").textContent = text; }
function working(doing, share) {
  busy = true;
  for (const b of document.querySelectorAll("button")) b.disabled = true;
  $("progress").hidden = false;
  if (share >= 0) $("progress").value = share;
  else $("progress").removeAttribute("value");
  // In steps, as it is read out too.
  const text = share >= 0 ? `${doing}: ${10 * Math.floor(10 * share)} %` : `${doing} …`;
  if (text !== $("status").textContent) say(text);
  // Said beside the button too, which is far from the top.
  $("review").textContent = $("form").hidden ? "Review the take" : $("status").textContent;
}
function done(text) {
  busy = false;
  for (const b of document.querySelectorAll("button")) b.disabled = false;
  $("progress").hidden = true;
  $("review").textContent = "Review the take";
  say(text || "");
}
function fail(text) {
  $("error").textContent = text;
  $("error").hidden = !text;
  if (text) $("error").scrollIntoView({ block: "center" });
}

// The files.
let take = null; // as the program returned it
async function open(ask) {
  if (busy) return;
  fail("");
  working("Reading", -1);
  const got = await ask();
  if (got.error) {
    done(take ? `Still open: ${take.name}.` : "");
    fail(got.error);
    return;
  }
  const now = JSON.parse(got.json);
  $("notes").replaceChildren(...(now.notes || []).map((n) => element("li", n)));
  setup = now.setup;
  if (!now.name) {
    done("That is read. Now give the export.");
    return;
  }
  take = now;
  $("result").hidden = true;
  $("still").value = "";
  await showStill(null);
  await fill();
  done(`Open: ${take.name}, ${take.points.length} ${take.points.length === 1 ? "point" : "points"}.`);
}
const mostBytes = 300e6; // of a file
async function give(list) {
  const pictures = list.filter((f) => f.type.startsWith("image/"));
  if (take && pictures.length === list.length) return showStill(pictures[0]);
  const large = list.find((f) => f.size > mostBytes);
  if (large) {
    return fail(`${large.name} is too large for this page, at ${Math.round(large.size / 1e6)} MB: a film has to go through a tracker first, and the program onetake reads larger exports.`);
  }
  const files = [];
  for (const f of list) files.push({ name: f.name, data: new Uint8Array(await f.arrayBuffer()) });
  const form = take ? JSON.stringify(settings()) : setup && JSON.stringify(setup);
  await open(() => ask("open", files, form));
}
$("files").addEventListener("click", () => { $("files").value = ""; }); // the same file can be given again
$("files").addEventListener("change", () => { if ($("files").files.length) give([...$("files").files]); });
for (const [kind, over] of [["dragenter", true], ["dragover", true], ["dragleave", false], ["drop", false]]) {
  document.addEventListener(kind, (e) => {
    e.preventDefault(); // a browser would leave the page for the file
    $("drop").classList.toggle("over", over);
  });
}
document.addEventListener("drop", (e) => { if (e.dataTransfer.files.length) give([...e.dataTransfer.files]); });
$("demo").addEventListener("click", () => { $("files").value = ""; open(() => ask("demo")); });

// The form and the settings. setup is the settings file as an object: what has no
// field here stays in it.
let setup = null;
const place = "\u0000place"; // no name of a point

function element(name, text) {
  const e = document.createElement(name);
  e.textContent = text;
  return e;
}
function options(select, list, value) {
  if (value && !list.some(([v]) => v === value)) list.push([value, `${value} (not in this export)`]);
  select.replaceChildren(...list.map(([v, text]) => Object.assign(element("option", text), { value: v })));
  select.value = value || "";
}
const shown = (v) => (v === undefined || v === null || v === 0 ? "" : String(v));

async function fill() {
  const points = take.points.map((p) => [p, p]);
  options($("tip"), [["", "choose a point"], ...points], setup.tip);
  $("tip-is").value = setup.tip_is || "";
  for (const side of ["bass", "treble"]) {
    const mark = (setup.marks || {})[side];
    const at = Array.isArray(mark) ? mark : null;
    const list = [["", "choose a mark"], ...points];
    if (!take.spatial) list.push([place, "a place in the picture"]);
    options($(side), list, at && !take.spatial ? place : at ? "" : mark);
    $(`${side}-x`).value = at ? shown(at[0]) || "0" : "";
    $(`${side}-y`).value = at ? shown(at[1]) || "0" : "";
  }
  $("distance").value = shown((setup.marks || {}).distance_mm);
  $("elsewhere").checked = !!setup.marks_elsewhere;
  $("view").value = setup.view || "end-on";
  for (const o of $("view").options) o.disabled = (o.value === "3-d") !== take.spatial;
  for (const key of ["from_neck", "left_handed", "mirrored", "y_up"]) $(key.replace("_", "-")).checked = !!setup[key];
  $("rate").value = shown(setup.rate);
  $("rate-why").textContent = take.timed ? "(the export has times, so it is not needed)" : "(needed: the export has no times)";
  $("time-unit").value = setup.time_unit || "";
  $("slowed").value = shown(setup.slowed_by);
  $("strings").value = shown(setup.string_count);
  $("played").value = shown(setup.string_played);
  $("picking").hidden = take.spatial;
  $("form").hidden = false;
  placesShown();
  await showPath();
}

// number reads a field; a comma is a point. Text that is no number stays text, which
// the program refuses by the name of its key.
function number(id) {
  const text = $(id).value.trim();
  if (text === "") return undefined;
  const x = Number(text.replace(",", "."));
  return Number.isNaN(x) ? text : x;
}
function markOf(side) {
  if ($(side).value !== place) return $(side).value || undefined;
  const x = number(`${side}-x`), y = number(`${side}-y`);
  return x === undefined || y === undefined ? undefined : [x, y];
}
function settings() {
  const s = structuredClone(setup);
  const set = (o, key, v) => {
    if (v === undefined || v === "" || v === false) delete o[key];
    else o[key] = v;
  };
  set(s, "tip", $("tip").value);
  set(s, "tip_is", $("tip-is").value);
  s.marks = s.marks || {};
  set(s.marks, "bass", markOf("bass"));
  set(s.marks, "treble", markOf("treble"));
  set(s.marks, "distance_mm", number("distance"));
  set(s, "marks_elsewhere", $("elsewhere").checked);
  set(s, "view", $("view").value);
  for (const key of ["from_neck", "left_handed", "mirrored", "y_up"]) set(s, key, $(key.replace("_", "-")).checked);
  set(s, "rate", number("rate"));
  set(s, "time_unit", $("time-unit").value);
  set(s, "slowed_by", number("slowed"));
  set(s, "string_count", number("strings"));
  set(s, "string_played", number("played"));
  return s;
}

// The drawing.
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
async function showPath() {
  const got = await ask("path", $("tip").value);
  path = got.error ? null : JSON.parse(got.json);
  if (got.error) fail(got.error);
  draw();
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
  const fixed = ["bass", "treble"].map((side) => {
    const m = markOf(side);
    const p = Array.isArray(m) ? { x: m[0], y: m[1] } : take.places.find((q) => q.name === m);
    return p && Number.isFinite(p.x) && Number.isFinite(p.y) ? { ...p, side } : null;
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
    parts.push(svg("circle", { cx: X(m.x), cy: Y(m.y), r: 7, fill: m.side === "bass" ? "#00508c" : "#8f3f00", stroke: "#ffffff", "stroke-width": 2 }));
    label(X(m.x), Y(m.y), `${m.side} mark`);
  }
  if (tip) label(X(tip[0]), Y(tip[1]), "path of the tip");
  for (const p of take.places) {
    if (p.name === $("tip").value || fixed.some((m) => m.name === p.name)) continue;
    parts.push(svg("circle", { cx: X(p.x), cy: Y(p.y), r: 4, fill: "#ffffff", stroke: "#4a4a4a", "stroke-width": 2 }, svg("title", {}, p.name)));
    label(X(p.x), Y(p.y), p.name.length > 24 ? `${p.name.slice(0, 23)}…` : p.name);
  }
  const marks = fixed.map((m) => `${m.side} mark at ${m.x}, ${m.y}`).join("; ") || "no mark is set";
  $("drawing").replaceChildren(svg("svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "img", "aria-label": `The tip's path in the film; ${marks}.` }, ...parts));
}

$("drawing").addEventListener("click", (e) => {
  const drawn = $("drawing").firstElementChild;
  if (!drawn || !toPicture) return;
  const box = drawn.getBoundingClientRect(), view = drawn.viewBox.baseVal;
  const at = toPicture((e.clientX - box.left) * view.width / box.width, (e.clientY - box.top) * view.height / box.height);
  const side = chosen();
  put(side, at);
  if (side === "bass") $("click-treble").checked = true;
});
// Arrow keys move the mark too, by a pixel of the drawing or by ten.
$("drawing").addEventListener("keydown", (e) => {
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
  if (!way || !toPicture) return;
  e.preventDefault();
  const step = e.shiftKey ? 10 : 1, [x0, y0] = toPicture(0, 0), [x1, y1] = toPicture(way[0] * step, way[1] * step);
  const m = markOf(chosen());
  const from = Array.isArray(m) && m.every(Number.isFinite) ? m : toPicture($("drawing").clientWidth / 2, $("drawing").clientHeight / 2);
  put(chosen(), [from[0] + x1 - x0, from[1] + y1 - y0]);
});
const chosen = () => ($("click-bass").checked ? "bass" : "treble");
// put sets a mark to a place in the picture.
function put(side, at) {
  $(side).value = place;
  $(`${side}-x`).value = at[0].toFixed(1);
  $(`${side}-y`).value = at[1].toFixed(1);
  placesShown();
  draw();
}
// placesShown shows the coordinates of marks that are places.
function placesShown() {
  for (const side of ["bass", "treble"]) {
    for (const p of $(side).closest("div").querySelectorAll(".at")) p.hidden = $(side).value !== place;
  }
}
for (const id of ["bass", "treble", "bass-x", "bass-y", "treble-x", "treble-y"]) {
  $(id).addEventListener("change", () => { placesShown(); draw(); });
}

// Files to keep.
const links = []; // addresses of blobs, to be given back
function address(file, type) {
  const url = URL.createObjectURL(new Blob([file.data], { type }));
  links.push(url);
  return url;
}
const types = { html: "text/html;charset=utf-8", csv: "text/csv;charset=utf-8", json: "application/json" };
function link(file) {
  const a = element("a", file.name);
  a.href = address(file, types[file.name.split(".").pop()]);
  a.download = file.name;
  return a;
}

$("save").addEventListener("click", async () => {
  if (busy) return;
  fail("");
  const got = await ask("settings", JSON.stringify(settings()));
  if (got.error) return fail(got.error);
  link(got.files[0]).click();
  say(`Saved: ${got.files[0].name}. Keep it beside the export, and give both next time.`);
});

$("form").addEventListener("submit", async (e) => {
  e.preventDefault();
  if (busy) return;
  fail("");
  working("Reading", -1);
  const form = JSON.stringify(settings());
  const got = await ask("review", form, JSON.stringify({ task: $("task").value, comfort: $("comfort").value }));
  if (got.error) {
    done();
    fail(got.error);
    return;
  }
  for (const url of links.splice(0)) URL.revokeObjectURL(url);
  show(got.files[0]);
  done(`Reviewed: ${take.name}.`);
  for (const call of [["files"], ["settings", form]]) {
    const more = await ask(...call);
    if (more.error) return fail(more.error);
    for (const f of more.files) keep(f);
  }
  $("result").dataset.whole = "yes";
});
function keep(file) {
  const li = document.createElement("li");
  li.append(link(file));
  $("downloads").append(li);
}
function show(page) {
  $("result").hidden = false;
  delete $("result").dataset.whole;
  $("downloads").replaceChildren();
  keep(page);
  const frame = document.createElement("iframe");
  frame.title = `The review of ${take.name}`;
  frame.setAttribute("sandbox", "allow-same-origin"); // for its height; nothing runs in it
  frame.src = $("alone").href = address(page, types.html);
  frame.addEventListener("load", () => {
    const inner = frame.contentDocument.documentElement;
    const fit = () => { frame.style.height = `${inner.querySelector("body").scrollHeight + 24}px`; };
    fit();
    new ResizeObserver(fit).observe(frame);
    $("result-title").focus({ preventScroll: true });
    $("result-title").scrollIntoView();
  });
  $("page").replaceChildren(frame);
}
