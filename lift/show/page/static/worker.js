// Keeps the page itself, so that a clock that runs goes on without a connection.
// Network first: with a connection, what is shown is always what the server has.

const STORE = "lift-shell";
const PATIENCE_MS = 3000;

self.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const reply = await fetch("/shell.json");
      const { files } = await reply.json();
      const store = await caches.open(STORE);
      await store.addAll(files);
      await self.skipWaiting();
    })(),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(self.clients.claim());
});

async function fresh(request, store) {
  const reply = await fetch(request);
  if (reply.ok && !reply.redirected) await store.put(request, reply.clone());
  return reply;
}

async function answer(request) {
  const store = await caches.open(STORE);
  const network = fresh(request, store);
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS));
  try {
    const first = await Promise.race([network, late]);
    if (first) return first;
  } catch {
    // No connection: the copy below has to do.
  }
  const copy = await store.match(request, { ignoreSearch: true });
  return copy ?? network;
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const ours = url.origin === location.origin && event.request.method === "GET";
  if (ours && (url.pathname === "/" || url.pathname.startsWith("/static/"))) {
    event.respondWith(answer(event.request));
  }
});
