// The files that are given, the review that comes of them, and the files to keep.
"use strict";

let given = new Map(); // the files of the take, by name

// open has the program take in files, beside those that it has or in their place.
async function open(call, list) {
  fail("");
  working("Reading", -1);
  const form = take ? JSON.stringify(settings()) : setup && JSON.stringify(setup);
  const files = await contents(list);
  const got = files.error ? files : await ask(call, files, form);
  if (got.error || got.stopped) {
    if (got.stopped) await again();
    else done(take ? `Still open: ${take.name}.` : "");
    fail(got.error || "");
    return false;
  }
  for (const f of list) given.set(f.name, f);
  await took(JSON.parse(got.json));
  return true;
}

// contents are files as the program takes them.
async function contents(list) {
  const files = [];
  for (const f of list) {
    try {
      files.push({ name: f.name, data: new Uint8Array(await f.arrayBuffer()) });
    } catch {
      return { error: `${f.name} could not be read: if it is a folder, open it and give the export; if it was moved or changed, give it again.` };
    }
  }
  return files;
}

// took shows a take that the program has taken in.
async function took(now) {
  $("notes").replaceChildren(...(now.notes || []).map((n) => element("li", n)));
  $("used").replaceChildren(...now.used.map((u) => {
    const li = element("li", `${u.name}: ${u.holds}. `);
    if (u.leave) {
      const b = Object.assign(element("button", "Leave it out"), { type: "button" });
      b.setAttribute("aria-label", `Leave it out: ${u.name}`);
      b.addEventListener("click", () => leave(u.name));
      li.append(b);
    }
    return li;
  }));
  setup = now.setup;
  const inUse = (name) => name === now.name || now.used.some((u) => u.name === name);
  given = new Map([...given].filter(([name]) => inUse(name)));
  if (!now.name) {
    done("That is read. Now give the export.");
    return;
  }
  const another = !take || take.name !== now.name;
  take = now;
  $("result").hidden = true;
  delete $("result").dataset.whole;
  if (another) {
    $("still").value = "";
    await showStill(null);
  }
  fill();
  if (!(await showPath())) return again();
  done(`Open: ${take.name}, ${take.points.length} ${take.points.length === 1 ? "point" : "points"}.`);
}

async function leave(name) {
  if (busy) return;
  fail("");
  const got = await ask("leave", name, take ? JSON.stringify(settings()) : setup && JSON.stringify(setup));
  if (got.error) return fail(got.error);
  await took(JSON.parse(got.json));
  $("files").focus();
}

// again gives a new worker what the stopped one had. The form stays as it is.
async function again() {
  working("Getting ready again", -1);
  if (given.size > 0) {
    const files = await contents([...given.values()]);
    const got = files.error ? files : await ask(take && take.invented ? "demo" : "open", files, null);
    if (got.error || got.stopped) {
      take = null;
      given = new Map();
      $("form").hidden = $("result").hidden = true;
      done("Give the export again.");
      return fail(got.error || "");
    }
  }
  done(take ? `Stopped. Still open: ${take.name}.` : "Stopped.");
}
$("stop").addEventListener("click", () => halt({ stopped: true }));

const mostBytes = 300e6; // of a file
async function give(list) {
  if (busy) return fail(`${list[0].name} was not taken in, since the page is at work: press Stop, or wait, and give it again.`);
  const large = list.find((f) => f.size > mostBytes);
  if (large) {
    return fail(`${large.name} is too large for this page, at ${Math.round(large.size / 1e6)} MB: a film has to go through a tracker first, and the program onetake reads larger exports.`);
  }
  const pictures = list.filter((f) => f.type.startsWith("image/"));
  const others = list.filter((f) => !pictures.includes(f));
  if (!take && !others.length || others.length && !(await open("open", others))) {
    if (!others.length) fail(`${pictures[0].name} is a picture: give the export first, then a still of the film to click the strings on.`);
    return;
  }
  if (pictures.length) await showStill(pictures[0]);
}
$("files").addEventListener("click", () => { $("files").value = ""; }); // the same file can be given again
$("files").addEventListener("change", () => { if ($("files").files.length) give([...$("files").files]); });
for (const [kind, over] of [["dragenter", true], ["dragover", true], ["dragleave", false], ["drop", false]]) {
  document.addEventListener(kind, (e) => {
    e.preventDefault(); // a browser would leave the page for the file
    $("drop").classList.toggle("over", over);
  });
}
document.addEventListener("drop", (e) => {
  const folder = [...e.dataTransfer.items].map((i) => i.webkitGetAsEntry && i.webkitGetAsEntry()).find((f) => f && f.isDirectory);
  if (folder) return fail(`${folder.name} is a folder: open it, and give the export of one take with its settings. The program onetake reviews whole folders.`);
  if (e.dataTransfer.files.length) give([...e.dataTransfer.files]);
});
$("demo").addEventListener("click", async () => {
  $("files").value = "";
  try {
    await started;
    if (!invented.length) await loadInvented();
  } catch (e) {
    return fail(`The invented take cannot be had: ${e.message}.`);
  }
  await open("demo", invented);
});

// Files to keep.
const links = []; // addresses of blobs, to be given back
const types = { html: "text/html;charset=utf-8", csv: "text/csv;charset=utf-8", vtt: "text/vtt;charset=utf-8", json: "application/json", ipynb: "application/x-ipynb+json" };
const blob = (file) => new Blob([file.data], { type: types[file.name.split(".").pop()] });
function address(file) {
  const url = URL.createObjectURL(blob(file));
  links.push(url);
  return url;
}
function link(file) {
  const a = element("a", file.name);
  a.href = address(file);
  a.download = file.name;
  return a;
}

$("save").addEventListener("click", async () => {
  if (busy) return;
  fail("");
  const got = await ask("settings", JSON.stringify(settings()));
  if (got.error) return fail(got.error);
  link(got.files[0]).click();
  say(`Saved: ${got.files[0].name}. Keep it beside the export, and give both next time. ${got.note}`);
});

$("form").addEventListener("submit", async (e) => {
  e.preventDefault();
  if (busy) return;
  fail("");
  delete $("result").dataset.whole;
  working("Reading", -1);
  const form = JSON.stringify(settings());
  const got = await ask("review", form, JSON.stringify({ task: $("task").value, comfort: $("comfort").value, begins: $("begins").value.trim() }));
  if (got.error || got.stopped) {
    $("result").hidden = true; // it is of other settings
    if (got.stopped) await again();
    else done();
    if (got.error) fail(got.error);
    else $("review").focus();
    return;
  }
  for (const url of links.splice(0)) URL.revokeObjectURL(url);
  show(got.files[0]);
  for (const call of [["files"], ["settings", form]]) {
    const more = await ask(...call);
    if (more.stopped) await again();
    if (more.error || more.stopped) {
      done(`Reviewed: ${take.name}. Not all files to keep were made.`);
      return fail(more.error || "");
    }
    for (const f of more.files) keep(f);
    if (call[0] === "files") compared(more);
  }
  $("result").dataset.whole = "yes";
  done(`Reviewed: ${take.name}.`);
});
const holds = {
  "page.html": "the page below", "details.html": "all numbers, what was cut and filled, and what the film allows",
  "strokes.csv": "a line for each stroke", "spans.csv": "a line for each settled and searching span",
  "review.json": "all of it, for programs", "captions.vtt": "captions for the film", "notebook.ipynb": "the page as a Jupyter notebook",
  "reference.json": "the motion of the longest settled span", "take.json": "the settings",
};
function keep(file) {
  const li = document.createElement("li");
  li.append(link(file), `: ${holds[file.name] || holds[file.name.split(".").slice(-2).join(".")]}`);
  $("downloads").append(li);
}

// compared offers the motion of this take for others to be compared with.
let motion = null;
function compared({ files, note }) {
  const file = files.find((f) => f.name.endsWith(".reference.json"));
  motion = file ? new File([file.data], file.name) : null;
  $("compare").hidden = !motion;
  $("compare-why").textContent = motion ? `The motion of its longest settled span is in ${file.name}. Give that file with another take, and the review tells how far each span is from it.` : `Other takes cannot be compared with this one: ${note}`;
}
$("compare").addEventListener("click", async () => {
  if (busy || !motion) return;
  const name = take.name;
  if (await open("open", [motion])) say(`The next reviews are compared with ${name}. Now give another take.`);
  $("files").focus();
});

function show(page) {
  $("result").hidden = false;
  delete $("result").dataset.whole;
  $("downloads").replaceChildren();
  $("compare-why").textContent = "";
  $("compare").hidden = true;
  keep(page);
  const frame = document.createElement("iframe");
  frame.title = `The review of ${take.name}`;
  frame.setAttribute("sandbox", "allow-same-origin"); // for its height; nothing runs in it
  frame.src = $("alone").href = address(page);
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
