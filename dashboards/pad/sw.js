// The page's files: from the network first, else as kept. Strikes are not its business.

const LONGEST_WAIT_MS = 3000;

addEventListener('install', () => skipWaiting());
addEventListener('activate', (event) => event.waitUntil(clients.claim()));

async function answer(request, name) {
  const cache = await caches.open('strike-ladder-pad');
  const kept = await cache.match(name);
  const fetched = fetch(request).then(async (response) => {
    if (!response.ok || response.redirected) return kept ?? response; // somebody's Wi-Fi wants a sign-in
    await cache.put(name, response.clone());
    return response;
  });
  if (!kept) return fetched;
  const patience = new Promise((resolve) => { setTimeout(resolve, LONGEST_WAIT_MS, kept); });
  return Promise.race([fetched.catch(() => kept), patience]);
}

addEventListener('fetch', (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (event.request.method === 'GET' && origin === location.origin && /^\/pad(\/|$)/.test(pathname)) {
    event.respondWith(answer(event.request, pathname));
  }
});
