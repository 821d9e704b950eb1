import { tell } from './fault.js';

const message = document.getElementById('message');
const offline = document.getElementById('offline');
const root = document.documentElement;
// A page in one file carries its parts.
const { carried } = globalThis;

function say(problem) {
  message.dataset.problem = problem !== '';
  message.textContent = problem;
}

// The module, compiled once for the page and its workers.
const compiled = carried
  ? carried.compiled()
  : WebAssembly.compileStreaming(fetch('pkg/linkfold_bg.wasm'));

function newWorker() {
  const worker = carried ? carried.worker() : new Worker('worker.js', { type: 'module' });
  compiled.then((module) => worker.postMessage(module));
  worker.addEventListener('message', ({ data }) => {
    if (data?.fault) tell('check', data.fault);
  });
  return worker;
}

try {
  const { default: init, start } = carried ?? await import('./pkg/linkfold.js');
  await init({ module_or_path: compiled });
  say('');
  start(newWorker);
  root.dataset.state = 'ready';
} catch (error) {
  say(`linkfold could not start in this browser: ${error.message ?? error}`);
  root.dataset.state = 'failed';
  if (error instanceof WebAssembly.RuntimeError) tell('start', error);
}

// A served page keeps its files, to work without a network; a page in one file has no need to.
if (carried) offline.textContent = 'This page is one file: it needs no network.';
else if (navigator.serviceWorker) keepOn();
else offline.textContent = 'This browser does not keep the page: a visit needs the network.';

function pause(time) {
  return new Promise((go) => { setTimeout(go, time); });
}

// A file that did not come, as on a poor network, is asked for again.
async function keepOn() {
  offline.textContent = 'The page is being kept in this browser, to work without a network…';
  for (let wait = 2000; ; wait = Math.min(2 * wait, 60000)) {
    try {
      await keep();
      root.dataset.offline = 'yes';
      offline.textContent = 'This page is kept in this browser and works without a network.';
      return;
    } catch {
      root.dataset.offline = 'no';
      offline.textContent = 'This page is not kept in this browser yet: not all of it came. It will retry automatically.';
      await pause(wait);
    }
  }
}

async function keep() {
  const kept = await navigator.serviceWorker.register('offline.js');
  const renew = document.getElementById('renew');
  const offer = () => { renew.hidden = !kept.waiting; };
  offer();
  kept.addEventListener('updatefound', () => {
    kept.installing?.addEventListener('statechange', offer);
  });
  document.getElementById('renew-now').onclick = () => {
    navigator.serviceWorker.addEventListener('controllerchange', () => location.reload());
    kept.waiting?.postMessage('take over');
  };
  while (!kept.active) {
    if (!kept.installing && !kept.waiting) throw new Error('not all files came');
    await pause(100);
  }
}
