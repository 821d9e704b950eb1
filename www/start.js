const message = document.getElementById('message');
const offline = document.getElementById('offline');
const root = document.documentElement;
// A page in one file carries its parts.
const { carried } = globalThis;
let light, module, page, taking, failed;
const asked = [];

function say(problem) {
  message.dataset.problem = problem !== '';
  message.textContent = problem;
}

// The helper's module, compiled once for every worker.
const helper = () => module ??= (carried
  ? WebAssembly.compile(carried.bytes('helper'))
  : WebAssembly.compileStreaming(fetch('pkg/helper_bg.wasm'))
).catch((error) => { module = undefined; throw error; });

// The whole page's script and module, made ready once.
const whole = () => page ??= Promise.all([
  import('./pkg/linkfold.js'),
  WebAssembly.compileStreaming(fetch('pkg/linkfold_bg.wasm')),
]).catch((error) => { page = undefined; throw error; });

// What the modules ask of this script.
globalThis.parts = {
  helper() {
    const worker = carried ? new Worker(carried.worker) : new Worker('worker.js', { type: 'module' });
    helper().then((compiled) => worker.postMessage(compiled))
      .catch(() => worker.dispatchEvent(new Event('error')));
    return worker;
  },
  // The whole page in place of the light one; what was pressed is pressed again.
  whole(target, event) {
    asked.push([target, event]);
    root.dataset.taking = 'yes';
    if (failed) failed = say('');
    taking ??= takeOver().catch((error) => {
      failed = true;
      say(`This part of the page could not be loaded: ${error.message ?? error}`);
      asked.length = 0;
      taking = undefined;
    }).finally(() => { delete root.dataset.taking; });
  },
};

async function takeOver() {
  const [{ default: init, start }, compiled] = await whole();
  await init({ module_or_path: compiled });
  const typed = asked.map(([target]) => target?.value);
  start(light.leave());
  asked.forEach(([target, event], i) => {
    if (event === 'click') return target.click();
    if (target && target.type !== 'file') target.value = typed[i];
    target?.dispatchEvent(new Event(event, { bubbles: true }));
  });
}

try {
  const { default: init, start } = carried ?? await import('./pkg/light.js');
  await init();
  say('');
  light = start();
  root.dataset.state = 'ready';
} catch (error) {
  say(`linkfold could not start in this browser: ${error.message ?? error}`);
  root.dataset.state = 'failed';
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
      // Where the kept files are in use, what is asked for next need not be waited for.
      if (navigator.serviceWorker.controller) await whole().catch(() => {});
      return;
    } catch {
      root.dataset.offline = 'no';
      offline.textContent = 'This page is not kept in this browser yet: not all of it came. That is tried again by itself.';
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
