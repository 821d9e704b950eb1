// The file's own parts in the places of the served ones: the module, its bindings, the worker.
const part = (id) => document.getElementById(id).textContent;
globalThis.carried = {
  async compiled() {
    const packed = Uint8Array.from(atob(part('module')), (letter) => letter.charCodeAt(0));
    const unpacked = new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'));
    return WebAssembly.compile(await new Response(unpacked).arrayBuffer());
  },
  default: (given) => wasm_bindgen(given),
  start: (newWorker) => wasm_bindgen.start(newWorker),
  worker() {
    const scripts = [part('bindings'), part('worker')];
    return new Worker(URL.createObjectURL(new Blob(scripts, { type: 'text/javascript' })));
  },
};
