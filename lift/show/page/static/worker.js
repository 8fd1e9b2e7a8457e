// Keeps the page itself, so that a visit goes on without a connection. Each version of it is kept
// whole, and never lends a file to another; the server puts in which this is.

const STORE = "lift-shell-VERSION";
const PATIENCE_MS = 1000;

self.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const { files } = await (await fetch("/shell.json")).json();
      await (await caches.open(STORE)).addAll(files);
      await self.skipWaiting();
    })(),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      const others = (await caches.keys()).filter((name) => name !== STORE);
      await Promise.all(others.map((name) => caches.delete(name)));
      await self.clients.claim();
    })(),
  );
});

const copyOf = async (request) => (await caches.open(STORE)).match(request, { ignoreSearch: true });

// With a connection the page is always the server's; one that does not answer is not waited for.
async function page(request) {
  const copy = await copyOf(request);
  if (!copy) return fetch(request);
  if (!navigator.onLine) return copy;
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS, copy));
  return Promise.race([fetch(request), late]).catch(() => copy);
}

// A file of a version never changes.
const file = async (request) => (await copyOf(request)) ?? fetch(request);

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin || request.method !== "GET") return;
  if (url.pathname === "/") event.respondWith(page(request));
  else if (url.pathname.startsWith("/static/")) event.respondWith(file(request));
});
