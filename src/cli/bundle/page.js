// The file's own parts in the places of the served ones: the module, its bindings, the worker.
const part = (id) => document.getElementById(id).textContent;
globalThis.carried = {
  async compiled() {
    const { textContent: letters, dataset } = document.getElementById('module');
    const words = new DataView(new ArrayBuffer(letters.length / 5 * 4));
    for (let at = 0; at < letters.length; at += 5) {
      let word = 0;
      for (let i = at; i < at + 5; i += 1) {
        const code = letters.charCodeAt(i);
        word = 85 * word + code - (code < 60 ? 40 : 41);
      }
      words.setUint32(at / 5 * 4, word);
    }
    const packed = words.buffer.slice(0, Number(dataset.bytes));
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
