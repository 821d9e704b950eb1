// The file's own parts in the places of the served ones: the modules, bindings, worker.
const part = (id) => document.getElementById(id).textContent;
globalThis.carried = {
  bytes: (id) => Uint8Array.from(atob(part(id)), (letter) => letter.charCodeAt(0)),
  default: () => wasm_bindgen({ module_or_path: globalThis.carried.bytes('module') }),
  start: () => wasm_bindgen.start(),
  worker: URL.createObjectURL(new Blob([part('worker')], { type: 'text/javascript' })),
};
