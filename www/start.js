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
