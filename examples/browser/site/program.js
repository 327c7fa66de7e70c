// The program: its code is loaded once, and runs in a worker that is made of it. A
// worker can be stopped and made anew without the server.
"use strict";

const $ = (id) => document.getElementById(id);

// fetched fetches a file of this page, and unpacks it where it is gzip still: some
// servers have the browser do that.
async function fetched(name) {
  let got;
  try {
    got = await fetch(name);
  } catch {
    throw new Error(`the file ${name} of this page is not there: start the program that serves this page again`);
  }
  if (!got.ok) throw new Error(`the file ${name} of this page is not there (${got.status})`);
  const data = new Uint8Array(await got.arrayBuffer());
  if (data[0] !== 0x1f || data[1] !== 0x8b) return data;
  const unpacked = new Blob([data]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(unpacked).arrayBuffer());
}

// load loads all that the page will ever need from its server.
let compiled, code;
let invented = []; // the files of the invented take
async function load() {
  if (location.protocol === "file:") {
    throw new Error("from the disk this page cannot start its program: run “go run ./examples/browser” in the folder of plectrace, and open the address that it prints");
  }
  const scripts = Promise.all([fetched("wasm_exec.js"), fetched("worker.js")]);
  compiled = await WebAssembly.compile(await fetched("plectrace.wasm.gz"));
  const [support, own] = await scripts;
  code = URL.createObjectURL(new Blob([support, "\n", own], { type: "text/javascript" }));
  await spawn();
  document.documentElement.dataset.ready = "yes";
  if (!busy) say("Ready.");
}
async function loadInvented() {
  const files = await Promise.all([["demo.csv.gz", "beginner-1.csv"], ["demo.take.json", "beginner-1.take.json"]]
    .map(async ([at, name]) => new File([await fetched(at)], name)));
  invented = files;
}

// spawn makes a worker, and waits until its program can be called.
let worker = null;
const waiting = new Map();
let calls = 0;
function spawn() {
  return new Promise((done, failed) => {
    worker = new Worker(code);
    worker.onmessage = ({ data }) => {
      if (data.ready) {
        done();
      } else if (data.broken) {
        failed(new Error(data.broken));
        ended(data.broken);
      } else if (data.doing) {
        working(data.doing, data.share);
      } else if (waiting.has(data.id)) {
        waiting.get(data.id)(data.got);
        waiting.delete(data.id);
      }
    };
    worker.onerror = (e) => {
      failed(new Error(e.message));
      ended(e.message);
    };
    worker.postMessage({ program: compiled });
  });
}

// ask calls the program. What it returns says why where it could not (error), or that
// it was stopped.
async function ask(call, ...args) {
  try {
    await started;
  } catch (e) {
    return { error: `The page could not start: ${e.message}.` };
  }
  return new Promise((done) => {
    waiting.set(++calls, done);
    const moved = call === "open" || call === "demo" ? args[0].map((f) => f.data.buffer) : [];
    worker.postMessage({ id: calls, call, args }, moved);
  });
}

// halt ends the worker whatever it does, and starts another; who waits gets an answer.
function halt(answer) {
  if (!waiting.size) return; // it does nothing
  worker.onmessage = worker.onerror = null;
  worker.terminate();
  started = spawn();
  started.catch(() => {}); // ask says it
  for (const done of waiting.values()) done(answer);
  waiting.clear();
}

// ended is called where the program has ended by itself.
function ended(why) {
  halt({ error: `The program had to end: ${why}. It may have run out of memory. What the form holds is kept; for a long take use the program onetake.`, stopped: true });
}

// What the page says while it works, and where it fails.
let busy = false;
let since = 0;
let ticking = 0;
function say(text) { $("status").textContent = text; }
function working(doing, share) {
  if (!busy) {
    busy = true;
    for (const b of document.querySelectorAll("button")) b.disabled = b.id !== "stop";
    $("working").hidden = false;
  }
  const name = doing.replace(/:.*/, "");
  if ($("working").dataset.step !== name) {
    $("working").dataset.step = name;
    since = performance.now();
    clearInterval(ticking);
    ticking = setInterval(elapse, 1000);
    $("elapsed").textContent = "";
  }
  if (share >= 0) $("progress").value = share;
  else $("progress").removeAttribute("value");
  $("doing").textContent = share >= 0 ? `${doing}, ${Math.floor(100 * share)} %` : doing;
  // In larger steps, as it is read out.
  const text = share >= 0 ? `${doing}: ${10 * Math.floor(10 * share)} %` : `${doing} …`;
  if (text !== $("status").textContent) say(text);
}
function elapse() { $("elapsed").textContent = `(${Math.round((performance.now() - since) / 1000)} s)`; }
function done(text) {
  busy = false;
  for (const b of document.querySelectorAll("button")) b.disabled = false;
  clearInterval(ticking);
  $("working").hidden = true;
  delete $("working").dataset.step;
  say(text || "");
}
function fail(text) {
  $("error").textContent = text;
  $("error").hidden = !text;
  if (text) $("error").scrollIntoView({ block: "center" });
}

$("disk").remove(); // it says what to do where no script runs
let started = load();
started.catch((e) => {
  done("Not started.");
  const old = e instanceof ReferenceError || e instanceof TypeError || e instanceof WebAssembly.CompileError;
  fail(`The page could not start: ${e.message}.${old ? " Use a newer browser." : ""}`);
});
started.then(loadInvented).catch(() => {}); // the button tells
