// Keeps the page of the field for when there is no signal. What is sent and what is known of the hives is none of
// its business: the page keeps those itself.

const VERSION = "{version}";
const PARTS = ["/field", "/field/field.css", "/asset/mark.svg", "{parts}"];
const CACHE = `combwright-field-${VERSION}`;

self.addEventListener("install", (event) => {
  const fetched = caches.open(CACHE).then((cache) =>
    cache.addAll(PARTS.map((part) => new Request(part, { cache: "reload" }))),
  );
  event.waitUntil(fetched.then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  const old = caches.keys().then((names) =>
    Promise.all(
      names
        .filter((name) => name.startsWith("combwright-field-") && name !== CACHE)
        .map((name) => caches.delete(name)),
    ),
  );
  event.waitUntil(old.then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const asked = new URL(event.request.url);
  if (event.request.method !== "GET" || asked.origin !== self.location.origin) {
    return;
  }
  const path = asked.pathname === "/field/" ? "/field" : asked.pathname;
  if (!PARTS.includes(path)) {
    return;
  }
  // All parts come from one version of the program, so the kept ones go first; a new worker brings new ones.
  event.respondWith(
    caches.open(CACHE).then((cache) => cache.match(path).then((kept) => kept ?? fetch(event.request))),
  );
});
