// The file's own parts in the places of the served ones: module, bindings and helper.
const part = (id) => document.getElementById(id).textContent;
globalThis.carried = {
  bytes: () => Uint8Array.from(atob(part('module')), (letter) => letter.charCodeAt(0)),
  default: wasm_bindgen,
  start: () => wasm_bindgen.start(),
  helper: URL.createObjectURL(
    new Blob([part('bindings'), '\n', part('helper')], { type: 'text/javascript' }),
  ),
};
