// Keeps the page's own files, so that it starts where there is no connection. Browsers allow this behind TLS or on the
// machine itself only; elsewhere an open page goes on, but a closed one needs the connection to start again.
const shelf = 'tubgrove-page';

self.addEventListener('install', () => self.skipWaiting());
self.addEventListener('activate', event => event.waitUntil(self.clients.claim()));

async function fetched(request) {
  const kept = await caches.open(shelf);
  try {
    const answer = await fetch(request);
    if (answer.ok) await kept.put(request, answer.clone());
    return answer;
  } catch (e) {
    const found = await kept.match(request, {ignoreSearch: true});
    if (found) return found;
    throw e;
  }
}

// Answers of the service are not kept here: the page does that itself, and says how old they are.
self.addEventListener('fetch', event => {
  const url = new URL(event.request.url);
  const ours = url.origin === self.location.origin && !/\/(api|health|metrics|calendar)/.test(url.pathname);
  if (event.request.method === 'GET' && ours) event.respondWith(fetched(event.request));
});
