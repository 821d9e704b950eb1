const message = document.getElementById('message');
const root = document.documentElement;

try {
  const { default: init, start } = await import('./pkg/linkfold.js');
  await init();
  message.textContent = '';
  start();
  root.dataset.state = 'ready';
} catch (error) {
  message.textContent = `linkfold could not start in this browser: ${error.message ?? error}`;
  root.dataset.state = 'failed';
}

// A served page keeps its files, to work without a network; a page in one file has no need to.
if (document.querySelector('link[rel=manifest]')) {
  keep().catch(() => { root.dataset.offline = 'no'; });
}

async function keep() {
  const kept = await navigator.serviceWorker.register('offline.js');
  const renew = document.getElementById('renew');
  const offer = () => { renew.hidden = !kept.waiting; };
  offer();
  kept.addEventListener('updatefound', () => {
    kept.installing?.addEventListener('statechange', offer);
  });
  document.getElementById('renew-now').addEventListener('click', () => {
    navigator.serviceWorker.addEventListener('controllerchange', () => location.reload());
    kept.waiting?.postMessage('take over');
  });
  await navigator.serviceWorker.ready;
  root.dataset.offline = 'yes';
}
