// The page's helper: the same module, off the page's thread. First the module, then requests.
import init, { answer } from './pkg/linkfold.js';

let ready;
onmessage = async ({ data }) => {
  if (!ready) {
    ready = init({ module_or_path: data });
    return;
  }
  try {
    await ready;
    postMessage(answer(data));
  } catch {
    postMessage('');
  }
};
