// Keeps the page for when there is no connection. Two stores: one of this publication's own files,
// filled before the worker takes over; and one of data files that were asked for, whose names bear
// their hashes, so that those which a new publication has, too, stay.
const SCOPE = self.registration.scope;
const OWN = `thirstline ${SCOPE} page {{version}}`;
const SEEN = `thirstline ${SCOPE} data`;
const FILES = {{files}};
const HASHED = /-[0-9a-f]{16}\.[a-z]+$/;

self.addEventListener("install", (event) => {
  self.skipWaiting();
  event.waitUntil(
    caches.open(OWN)
      .then((store) => store.addAll(FILES.map((name) => new Request(name, HASHED.test(name) ? {} : { cache: "no-cache" })))),
  );
});

/** Every data file that the publication names. */
async function publishedNames() {
  const baselineName = FILES.find((name) => /^(?:\.\/)?baseline-/.test(name));
  const response = baselineName && (await caches.match(baselineName, { cacheName: OWN }));
  if (!response) return null;
  const { areas, postal, map } = await response.json();
  const files = [...Object.values(areas.files), ...Object.values(postal.files), map];
  return new Set(files.map((file) => new URL(file.name, SCOPE).href));
}

async function dropWhatIsOld() {
  const names = await caches.keys();
  const pages = names.filter((name) => name.startsWith(`thirstline ${SCOPE} page `) && name !== OWN);
  await Promise.all(pages.map((name) => caches.delete(name)));
  const published = await publishedNames();
  if (!published) return;
  const seen = await caches.open(SEEN);
  const requests = await seen.keys();
  await Promise.all(requests.filter((request) => !published.has(request.url)).map((request) => seen.delete(request)));
}

self.addEventListener("activate", (event) => {
  event.waitUntil(dropWhatIsOld().then(() => self.clients.claim()));
});

async function keptOrFetched(request) {
  const kept = (await caches.match(request, { cacheName: OWN })) ?? (await caches.match(request, { cacheName: SEEN }));
  if (kept) return kept;
  const response = await fetch(request);
  if (response.status === 200 && new URL(request.url).pathname.includes("/data/")) {
    const copy = response.clone();
    await caches.open(SEEN).then((store) => store.put(request, copy)).catch(() => {});
  }
  return response;
}

/** The page itself: the newest there is, else the one that was kept. */
async function fetchedOrKept(request) {
  try {
    const response = await fetch(request);
    if (response.ok) return response;
    return (await keptPage()) ?? response;
  } catch (error) {
    const kept = await keptPage();
    if (kept) return kept;
    throw error;
  }
}
const keptPage = () => caches.match(SCOPE, { cacheName: OWN });

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(SCOPE)) return;
  const name = request.url.slice(SCOPE.length).replace(/[?#].*$/, "");
  if (name === "" || name === "index.html") event.respondWith(fetchedOrKept(request));
  else if (HASHED.test(name) && !name.startsWith("downloads/")) event.respondWith(keptOrFetched(request));
});
