// Caches the page for offline use. There are two caches: one for this publication's own files, filled
// before the worker takes over, and one for data files already requested. Names of data files contain
// their hashes, so files that are also in a new publication are kept. A file is kept and used only if it
// is the published one: a network's sign-in page may come instead, with status 200.
const SCOPE = self.registration.scope;
const OWN = `thirstline ${SCOPE} page {{version}}`;
const SEEN = `thirstline ${SCOPE} data`;
const FILES = {{files}}; // the SHA-256 of each
const HASHED = /-([0-9a-f]{16})\.[a-z]+$/;

/** Is it, by its SHA-256, what was published under this name? */
async function isPublished(name, response) {
  const digest = await crypto.subtle.digest("SHA-256", await response.clone().arrayBuffer());
  const digits = Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
  return digits.startsWith(FILES[name] ?? HASHED.exec(name)[1]);
}

/** The published file, or a response that says why there is none; never another file. */
async function fetchedFile(request, name) {
  const response = await fetch(request);
  if (response.status !== 200 || (await isPublished(name, response))) return response;
  // The wrong one may have come from the browser's cache.
  const again = await fetch(request, { cache: "reload" });
  if (again.status !== 200 || (await isPublished(name, again))) return again;
  return new Response(null, { status: 502, statusText: "not the published file" });
}

async function keepOwnFiles() {
  const fetched = await Promise.all(
    Object.keys(FILES).map(async (name) => {
      const request = new Request(name, HASHED.test(name) ? {} : { cache: "no-cache" });
      const response = await fetchedFile(request, name);
      if (response.status !== 200) throw new Error(`${name}: ${response.status}`);
      return [request, response];
    }),
  );
  const store = await caches.open(OWN);
  await Promise.all(fetched.map(([request, response]) => store.put(request, response)));
}

self.addEventListener("install", (event) => {
  self.skipWaiting();
  event.waitUntil(keepOwnFiles());
});

/** Every data file that the publication names. */
async function publishedNames() {
  const baselineName = Object.keys(FILES).find((name) => /^(?:\.\/)?baseline-/.test(name));
  const response = baselineName && (await caches.match(baselineName, { cacheName: OWN }));
  if (!response) return null;
  const { areas, postal, map, ground } = await response.json();
  const files = [...Object.values(areas.files), ...Object.values(postal.files), map, ...(ground ? [ground] : [])];
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

async function keptOrFetched(request, name) {
  for (const cacheName of [OWN, SEEN]) {
    const kept = await caches.match(request, { cacheName });
    if (!kept) continue;
    if (await isPublished(name, kept)) return kept;
    await caches.open(cacheName).then((store) => store.delete(request));
  }
  const response = await fetchedFile(request, name);
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
  else if (HASHED.test(name) && !name.startsWith("downloads/")) event.respondWith(keptOrFetched(request, name));
});
