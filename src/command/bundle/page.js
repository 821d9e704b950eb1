// The file's own parts in the places of the served ones: bindings, module and helper.
const part = (id) => document.getElementById(id).textContent;
const carried = {
  default: () => wasm_bindgen({
    module_or_path: Uint8Array.from(atob(part('module')), (letter) => letter.charCodeAt(0)),
  }),
  start: () => wasm_bindgen.start(),
};
document.documentElement.dataset.helper = URL.createObjectURL(
  new Blob([part('bindings'), '\n', part('helper')], { type: 'text/javascript' }),
);
