// The page's helper: the whole module, off the page's thread, which the page gives it compiled.
import init, { answer } from './pkg/linkfold.js';

let given;
const ready = new Promise((resolve) => { given = resolve; })
  .then((whole) => init({ module_or_path: whole }));
onmessage = async ({ data }) => {
  if (typeof data !== 'string') return given(data);
  try {
    await ready;
    postMessage(answer(data));
  } catch {
    postMessage('');
  }
};
