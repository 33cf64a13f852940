// Keeps the built page so that it opens without a network. The build puts in the files and a name made from their
// content; each build has a cache of its own, and the old one goes when no window uses it any more.
const files = __FILES__;
const cacheName = 'gattwright-__BUILD__';
/** Milliseconds that the host gets to answer before the kept file is taken. */
const patience = 3000;

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(cacheName).then((cache) => cache.addAll(files)));
});

self.addEventListener('activate', (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => names.filter((name) => name.startsWith('gattwright-') && name !== cacheName))
      .then((old) => Promise.all(old.map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || !request.url.startsWith(self.registration.scope)) return;
  // Files in assets/ have a name made from their content; of the others the newest is wanted, so that they fit.
  const lasting = request.url.startsWith(new URL('assets/', self.registration.scope).href);
  event.respondWith(lasting ? kept(request).then((found) => found ?? fetch(request)) : newest(request));
});

function kept(request) {
  return caches.open(cacheName).then((cache) => cache.match(request, { ignoreSearch: true }));
}

async function newest(request) {
  const fetched = fetch(request).then(
    (response) => (response.ok ? response : undefined),
    () => undefined,
  );
  const late = new Promise((resolve) => {
    setTimeout(resolve, patience, undefined);
  });
  return (
    (await Promise.race([fetched, late])) ??
    (await kept(request.mode === 'navigate' ? './' : request)) ??
    (await fetched) ??
    Response.error()
  );
}
