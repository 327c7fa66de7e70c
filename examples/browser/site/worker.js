// The worker runs the program, so that the page stays quick while it works. Each
// message names a function of the program with its arguments; the answer bears the
// same number. Calls that come before the program is there wait for it.
"use strict";

importScripts("wasm_exec.js");

const ready = new Promise((done) => { self.plectraceIsReady = done; });

self.plectraceTells = (doing, share) => self.postMessage({ doing, share });

// bytes fetches a file of this page, and unpacks it where it is gzip still: some
// servers have the browser do that.
async function bytes(name) {
  const got = await fetch(name);
  if (!got.ok) throw new Error(`the file ${name} of this page is not there (${got.status})`);
  const data = new Uint8Array(await got.arrayBuffer());
  if (data[0] !== 0x1f || data[1] !== 0x8b) return data;
  const unpacked = new Blob([data]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(unpacked).arrayBuffer());
}

async function start() {
  const go = new Go();
  const { instance } = await WebAssembly.instantiate(await bytes("plectrace.wasm.gz"), go.importObject);
  go.run(instance).then(() => { throw new Error("the program has ended"); });
  await ready;
  self.postMessage({ ready: true });
}

const started = start();
started.catch((e) => self.postMessage({ broken: `The page could not start: ${e.message}. Load it again, or use a newer browser.` }));

self.onmessage = async ({ data: { id, call, args } }) => {
  try {
    await started;
    if (call === "demo") {
      args = [[
        { name: "beginner-1.csv", data: await bytes("demo.csv.gz") },
        { name: "beginner-1.take.json", data: await bytes("demo.take.json") },
      ]];
    }
    const got = self.plectrace[call](...args);
    const moved = (got.files || []).map((f) => f.data.buffer);
    self.postMessage({ id, got }, moved);
  } catch (e) {
    self.postMessage({ id, got: { error: `That did not work: ${e.message}. Load the page again.` } });
  }
};
