// Keeps the page's own files, so that it works without a network. Every visit uses the files
// of one build; a later build is fetched beside them and used when the page asks for it, or
// once no page of this one is open.
const BUILD = 'linkfold-BUILD';
const FILES = ['FILES'];
const START = new URL('./', location.href).href;
const KEPT = new Set(FILES.map((name) => new URL(name, START).href));

addEventListener('install', (event) => {
  const fresh = FILES.map((name) => new Request(name, { cache: 'no-cache' }));
  event.waitUntil(caches.open(BUILD).then((cache) => cache.addAll(fresh)));
});

addEventListener('activate', (event) => {
  const old = (name) => name.startsWith('linkfold-') && name !== BUILD;
  event.waitUntil(caches.keys().then((names) => Promise.all(
    names.filter(old).map((name) => caches.delete(name)),
  )));
});

addEventListener('message', ({ data }) => {
  if (data === 'take over') skipWaiting();
});

addEventListener('fetch', (event) => {
  const { method, url } = event.request;
  const plain = url.split(/[?#]/)[0];
  const name = plain === START ? `${START}index.html` : plain;
  if (method !== 'GET' || !KEPT.has(name)) return;
  event.respondWith(caches.open(BUILD).then((cache) => cache.match(name)).then(
    (kept) => kept ?? fetch(event.request),
  ));
});
