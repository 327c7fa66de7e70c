// The form and the settings. take is what the program told of the take; setup is the
// settings file as an object: what has no field here stays in it.
"use strict";

let take = null;
let setup = null;
const place = "\u0000place"; // no name of a point
const asItWas = "\u0000as it was"; // what no field can hold stays as the settings say it

// Marks that can be points or places in the picture, by the ids of their fields.
const marks = {
  bass: { text: "bass mark", colour: "#00508c" },
  treble: { text: "treble mark", colour: "#8f3f00" },
  "card-1": { text: "foot, bass side", colour: "#00508c" },
  "card-2": { text: "foot, treble side", colour: "#8f3f00" },
  "card-3": { text: "top, treble side", colour: "#8f3f00" },
  "card-4": { text: "top, bass side", colour: "#00508c" },
};
const corners = ["card-1", "card-2", "card-3", "card-4"];
const shownMarks = () => ($("card").checked ? [...corners, "bass", "treble"] : ["bass", "treble"]);

// Fields by their keys in the settings.
const numbers = {
  distance: "marks.distance_mm", rate: "rate", slowed: "slowed_by", trust: "min_confidence", bpm: "tempo_bpm",
  raise: "raise_deg", skew: "skew_deg", strings: "string_count", played: "string_played", gap: "pair_gap_mm",
  touch: "touch_s", touched: "touch_string",
};
const zeroIsSaid = ["raise_deg", "skew_deg", "touch_s"]; // of others zero says nothing
const choices = {
  "tip-is": "tip_is", unit: "unit", "time-unit": "time_unit", note: "tempo_note", outward: "outward", arrangement: "setup",
};
const ticks = {
  elsewhere: "marks_elsewhere", "from-neck": "from_neck", "left-handed": "left_handed", mirrored: "mirrored", "y-up": "y_up",
};
const landmarks = ["shoulder", "elbow", "forearm", "wrist", "wrist_inner", "wrist_outer", "knuckle_1", "knuckle_2", "pick_base"];

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
const shown = (v) => (v === undefined || v === null ? "" : String(v));
const lookUp = (o, key) => key.split(".").reduce((o, k) => (o || {})[k], o);
function put(o, key, v) {
  const keys = key.split("."), last = keys.pop();
  for (const k of keys) o = o[k] = o[k] || {};
  if (v === undefined || v === "" || v === false) delete o[last];
  else o[last] = v;
}

// ofSetup is what the settings say of a mark.
function ofSetup(id) {
  if (id.startsWith("nut-")) return ((setup.marks || {}).nut || [])[id.slice(4) - 1];
  if (id.startsWith("card-")) return ((setup.card || {}).corners || [])[id.slice(5) - 1];
  return (setup.marks || {})[id];
}

function fill() {
  const points = take.points.map((p) => [p, p]);
  options($("tip"), [["", "choose a point"], ...points], setup.tip);
  for (const id of [...Object.keys(marks), "nut-1", "nut-2"]) {
    const mark = ofSetup(id);
    const at = Array.isArray(mark), keeps = at && (take.spatial || id.startsWith("nut-"));
    const list = [["", "choose a mark"], ...points];
    if (keeps) list.push([asItWas, `${mark.join(", ")}, as the settings say`]);
    else if ($(`${id}-x`) && !take.spatial) list.push([place, "a place in the picture"]);
    options($(id), list, keeps ? asItWas : at ? place : mark);
    if (!$(`${id}-x`)) continue;
    $(`${id}-x`).value = at ? shown(mark[0]) : "";
    $(`${id}-y`).value = at ? shown(mark[1]) : "";
  }
  for (const [id, key] of Object.entries(numbers)) {
    const x = lookUp(setup, key);
    $(id).value = x === 0 && !zeroIsSaid.includes(key) ? "" : shown(x);
  }
  for (const [id, key] of Object.entries(choices)) {
    const v = lookUp(setup, key) || "";
    $(id).value = v;
    if ($(id).value !== v) { // a value without an option here
      $(id).append(Object.assign(element("option", v), { value: v }));
      $(id).value = v;
    }
  }
  for (const [id, key] of Object.entries(ticks)) $(id).checked = !!lookUp(setup, key);
  $("view").value = setup.view || "end-on";
  for (const o of $("view").options) o.disabled = (o.value === "3-d") !== take.spatial;
  options($("time"), [["", "as the header says"], ["-", "none: count frames"], ...(take.columns || []).map((c) => [c, c])], setup.time);
  $("rate-why").textContent = take.timed ? "(the export has times, so it is not needed)" : "(needed: the export has no times)";
  for (const l of landmarks) options($(l), [["", "not tracked"], ...points], (setup.landmarks || {})[l]);
  $("card").checked = !!(setup.card && setup.card.corners);
  $("short-edge").checked = !!(setup.card && setup.card.short_edge);
  for (const d of document.querySelectorAll("#form details")) {
    d.open = [...d.querySelectorAll("select, input")].some((e) => (e.type === "checkbox" ? e.checked : e.value));
  }
  $("form").hidden = false;
  fieldsShown();
}

// number reads a field; a comma is a point. Text that is no number stays text, which
// the program refuses by the name of its key.
function number(id) {
  const text = $(id).value.trim();
  if (text === "") return undefined;
  const x = Number(text.replace(",", "."));
  return Number.isFinite(x) ? x : text;
}
function markOf(id) {
  if ($(id).value === asItWas) return ofSetup(id);
  if ($(id).value !== place) return $(id).value || undefined;
  const x = number(`${id}-x`), y = number(`${id}-y`);
  return x === undefined || y === undefined ? undefined : [x, y];
}

// settings is the settings file that the form makes of setup.
function settings() {
  const s = structuredClone(setup);
  put(s, "tip", $("tip").value);
  put(s, "view", $("view").value);
  put(s, "time", $("time").value);
  s.marks = s.marks || {};
  put(s, "marks.bass", markOf("bass"));
  put(s, "marks.treble", markOf("treble"));
  const nut = ["nut-1", "nut-2"].map(markOf).filter((m) => m !== undefined);
  put(s, "marks.nut", nut.length ? nut : undefined);
  for (const [id, key] of Object.entries(numbers)) put(s, key, number(id));
  for (const [id, key] of Object.entries(choices)) put(s, key, $(id).value);
  for (const [id, key] of Object.entries(ticks)) put(s, key, $(id).checked);
  s.landmarks = s.landmarks || {};
  for (const l of landmarks) put(s.landmarks, l, $(l).value);
  if (!Object.keys(s.landmarks).length) delete s.landmarks;
  delete s.card;
  if ($("card").checked) { // it tells the raise itself
    s.card = { corners: corners.map((id) => markOf(id) ?? "") };
    if ($("short-edge").checked) s.card.short_edge = true;
    delete s.raise_deg;
  }
  return s;
}

// fieldsShown hides what another field makes needless.
function fieldsShown() {
  for (const id of Object.keys(marks)) {
    for (const p of $(id).closest("div").querySelectorAll(".at")) p.hidden = $(id).value !== place;
    if ($(`click-${id}`)) $(`click-${id}`).closest("label").hidden = !shownMarks().includes(id);
  }
  const card = $("card").checked;
  $("corners").hidden = !card;
  $("raise").closest("p").hidden = card;
  const spatial = take && take.spatial;
  $("nut").hidden = !spatial;
  $("picking").hidden = spatial;
  $("with-card").hidden = spatial && !card;
  if (!shownMarks().includes(chosen())) $(`click-${shownMarks()[0]}`).checked = true;
}
const chosen = () => Object.keys(marks).find((id) => $(`click-${id}`).checked);
