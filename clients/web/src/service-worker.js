// Keeps this build of the page at hand. Nothing a person typed passes through here: calls of the service are not kept.
const KEPT = `agonic-${__BUILD__}`;

addEventListener('install', (event) => {
  event.waitUntil(caches.open(KEPT).then((kept) => kept.addAll(__KEEP__)).then(() => skipWaiting()));
});

addEventListener('activate', (event) => {
  event.waitUntil(
    caches.keys()
      .then((names) => Promise.all(names.filter((name) => name.startsWith('agonic-') && name !== KEPT).map((name) => caches.delete(name))))
      .then(() => clients.claim()),
  );
});

addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== location.origin) return;
  if (url.pathname.startsWith('/assets/')) {
    event.respondWith(caches.match(request).then((kept) => kept ?? fetch(request)));
  } else if (url.pathname === '/') {
    // The newest page where there is a network that answers soon, else the kept one.
    event.respondWith(
      Promise.race([fetch(request), new Promise((_, late) => setTimeout(late, 2500))])
        .then((response) => (response.ok ? response : Promise.reject(response)))
        .catch(() => caches.match('/')),
    );
  } else if (url.pathname === '/manifest.webmanifest') {
    event.respondWith(fetch(request).catch(() => caches.match(request)));
  }
});
