// Keeps the page's own files for the field without a network: asks the network first, then what was kept.
// Strikes are none of its business: they are in the page's queue.
importScripts('/pad/files.js');

const CACHE = 'strike-ladder-pad';
const LONGEST_WAIT_MS = 3000;

addEventListener('install', (event) => {
  skipWaiting();
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(self.PAD_FILES)));
});

addEventListener('activate', (event) => event.waitUntil(clients.claim()));

async function answer(name, asked) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(name);
  const fetched = fetch(asked).then((response) => {
    // A sign-in page of somebody's Wi-Fi must not take the place of ours.
    if (!response.ok || response.redirected) return kept ?? response;
    return cache.put(name, response.clone()).then(() => response);
  });
  if (!kept) return fetched;
  const patience = new Promise((resolve) => { setTimeout(resolve, LONGEST_WAIT_MS, kept); });
  return Promise.race([fetched.catch(() => kept), patience]);
}

addEventListener('fetch', (event) => {
  const { origin, pathname } = new URL(event.request.url);
  const name = pathname === '/pad/' ? '/pad' : pathname;
  if (event.request.method === 'GET' && origin === location.origin && self.PAD_FILES.includes(name)) {
    event.respondWith(answer(name, event.request));
  }
});
