// Keeps the check screen, the weigh-in and the dose round on the phone: the newest from the server when it answers, else the last one kept.
// The round and the touches are not its business: the page keeps those itself.
const SHELLS = [{% for shell in shells %}"{{ shell|escapejs }}"{% if not forloop.last %}, {% endif %}{% endfor %}];
const STATIC = "{{ static|escapejs }}";
const PHOTO = /\/photos\/[0-9a-f]{64}\.jpg$/;
const KEPT = "cavyround-check";
const PATIENCE_MS = 3000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (request.mode === "navigate") {
    if (SHELLS.includes(url.pathname)) event.respondWith(newestOrKept(request, url.pathname));
  } else if (url.pathname.startsWith(STATIC)) {
    event.respondWith(newestOrKept(request, request.url));
  } else if (PHOTO.test(url.pathname)) {
    event.respondWith(keptOrNewest(request));
  }
});

// The page asks for what it had loaded before this worker ran.
self.addEventListener("message", (event) => {
  event.waitUntil(caches.open(KEPT).then((kept) => Promise.all(event.data.map(
    async (address) => {
      const response = await fetch(address, { credentials: "same-origin" });
      const { pathname } = new URL(address);
      if (response.ok && !response.redirected) await kept.put(SHELLS.includes(pathname) ? pathname : address, response);
    },
  ))));
});

async function newestOrKept(request, key) {
  const kept = await caches.open(KEPT);
  const known = await kept.match(key);
  try {
    const response = await fetch(request, known ? { signal: AbortSignal.timeout(PATIENCE_MS) } : {});
    // A page that led to the sign-in is neither of them.
    await keep(kept, key, response);
    return response;
  } catch (fault) {
    if (known) return known;
    throw fault;
  }
}

async function keptOrNewest(request) {
  const kept = await caches.open(KEPT);
  const known = await kept.match(request);
  if (known) return known;
  const response = await fetch(request);
  await keep(kept, request, response);
  return response;
}

// What cannot be kept (someone signs out at this moment, the storage is full) is shown all the same.
async function keep(kept, key, response) {
  if (!response.ok || response.redirected || response.type === "opaqueredirect") return;
  try {
    await kept.put(key, response.clone());
  } catch { /* then it is asked for again next time */ }
}
