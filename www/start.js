const message = document.getElementById('message');
const root = document.documentElement;

try {
  const { default: init, WebPage } = await import('./pkg/linkfold.js');
  await init();
  WebPage.start(document.getElementById('picture'));
  message.textContent = 'Ready.';
  root.dataset.state = 'ready';
} catch (error) {
  message.textContent = `linkfold could not start in this browser: ${error.message ?? error}`;
  root.dataset.state = 'failed';
}
