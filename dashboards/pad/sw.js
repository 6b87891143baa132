// Keeps the page's files for the field: asks the network first, then takes what was kept. Strikes are not its business.
importScripts('/pad/files.js');

const CACHE = 'strike-ladder-pad';
const LONGEST_WAIT_MS = 3000;

addEventListener('install', (event) => {
  skipWaiting();
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(self.PAD_FILES)));
});
addEventListener('activate', (event) => event.waitUntil(clients.claim()));

async function answer(name, request) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(name);
  const fetched = fetch(request).then(async (response) => {
    if (!response.ok || response.redirected) return kept ?? response; // somebody's Wi-Fi wants a signature
    await cache.put(name, response.clone());
    return response;
  });
  if (!kept) return fetched;
  return Promise.race([fetched.catch(() => kept), new Promise((resolve) => { setTimeout(resolve, LONGEST_WAIT_MS, kept); })]);
}

addEventListener('fetch', (event) => {
  const { origin, pathname } = new URL(event.request.url);
  const name = pathname.replace(/\/$/, '');
  if (event.request.method === 'GET' && origin === location.origin && self.PAD_FILES.includes(name)) {
    event.respondWith(answer(name, event.request));
  }
});
