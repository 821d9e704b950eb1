// What takes long, off the page's thread: the page's own module, which the page gives it compiled.
import init, { answer } from './pkg/linkfold.js';

let given;
const ready = new Promise((resolve) => { given = resolve; })
  .then((compiled) => init({ module_or_path: compiled }));
onmessage = async ({ data }) => {
  if (data instanceof WebAssembly.Module) return given(data);
  try {
    await ready;
    postMessage(answer(data));
  } catch ({ message, stack }) {
    postMessage({ fault: { message: globalThis.fault ?? message, stack } });
  }
};
