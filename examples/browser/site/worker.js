// The worker runs the program, so that the page stays quick while it works. The first
// message brings the program. Each other names a function of it with its arguments;
// the answer bears the same number. This file follows wasm_exec.js in one script.
"use strict";

const broken = (why) => self.postMessage({ broken: why });
self.plectraceTells = (doing, share) => self.postMessage({ doing, share });
self.plectraceIsReady = () => self.postMessage({ ready: true });

self.onmessage = async ({ data: { program, id, call, args } }) => {
  if (program) {
    try {
      const go = new Go();
      await go.run(await WebAssembly.instantiate(program, go.importObject));
      broken("it ended by itself"); // it serves calls for ever
    } catch (e) {
      broken(e.message);
    }
    return;
  }
  try {
    const got = self.plectrace[call](...args);
    const moved = (got.files || []).map((f) => f.data.buffer);
    self.postMessage({ id, got }, moved);
  } catch (e) {
    broken(e.message);
  }
};
