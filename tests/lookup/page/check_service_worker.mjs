// Runs the service worker against a server that returns wrong files with status 200, as a network's
// sign-in page does: none of them may be kept or used, and wrong files kept earlier must be
// replaced.
//
//   node check_service_worker.mjs --worker lookup/page/service-worker.template.js
import assert from "node:assert/strict";
import { createHash, webcrypto } from "node:crypto";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { parseArgs } from "node:util";
import vm from "node:vm";

const { worker } = parseArgs({ options: { worker: { type: "string" } } }).values;
const TEMPLATE = readFileSync(worker, "utf8");
const SCOPE = "https://merrow.example/valley/";
const SIGN_IN = "<html>Sign in to the network</html>";

const sha256 = (text) => createHash("sha256").update(text).digest("hex");
const named = (stem, ending, text) => `${stem}-${sha256(text).slice(0, 16)}${ending}`;

const AREA = named("data/area", ".img", "area");
const BASELINE = JSON.stringify({
  areas: { files: { "1,2": { name: AREA } } },
  postal: { files: {} },
  map: { name: named("data/map", ".json", "map") },
  ground: { name: named("data/ground", ".json", "ground") },
});
const SCRIPT = named("page", ".js", "script");
const PUBLISHED = {
  "./": "index",
  [SCRIPT]: "script",
  [named("baseline", ".json", BASELINE)]: BASELINE,
  [AREA]: "area",
};
const OWN = Object.keys(PUBLISHED).filter((name) => name !== AREA);

/** As much of a browser's stores as the worker asks of them. */
function cacheStorage() {
  const stores = new Map();
  const urlOf = (request) => new URL(request.url ?? request, SCOPE).href;
  const storeOf = (name) => {
    if (!stores.has(name)) stores.set(name, new Map());
    const kept = stores.get(name);
    return {
      match: async (request) => kept.get(urlOf(request))?.clone(),
      put: async (request, response) => void kept.set(urlOf(request), response),
      delete: async (request) => kept.delete(urlOf(request)),
      keys: async () => [...kept.keys()].map((url) => ({ url })),
    };
  };
  return {
    open: async (name) => storeOf(name),
    keys: async () => [...stores.keys()],
    delete: async (name) => stores.delete(name),
    match: async (request, { cacheName }) => (stores.has(cacheName) ? storeOf(cacheName).match(request) : undefined),
    textsByPath: async () => {
      const texts = {};
      for (const kept of stores.values())
        for (const [url, response] of kept) texts[url.slice(SCOPE.length) || "./"] = await response.clone().text();
      return texts;
    },
  };
}

/** The worker, and what it does with an installation and with a request. `serve` answers. */
function startedWorker(serve, caches = cacheStorage()) {
  const handlers = {};
  class ScopedRequest {
    constructor(name, { cache } = {}) {
      Object.assign(this, { url: new URL(name, SCOPE).href, method: "GET", cache });
    }
  }
  const fetched = async (request, { cache = request.cache } = {}) =>
    serve(request.url.slice(SCOPE.length) || "./", cache);
  const self = {
    registration: { scope: SCOPE },
    clients: { claim: async () => {} },
    skipWaiting() {},
    addEventListener: (kind, handler) => (handlers[kind] = handler),
  };
  const files = Object.fromEntries(OWN.map((name) => [name, sha256(PUBLISHED[name])]));
  const filled = TEMPLATE.replace("{{files}}", JSON.stringify(files)).replace("{{version}}", "1");
  const globals = {
    self,
    caches,
    fetch: fetched,
    crypto: webcrypto,
    Request: ScopedRequest,
    Response,
    URL,
    Uint8Array,
  };
  vm.runInNewContext(filled, globals);
  const waited = async (kind) => {
    let done;
    handlers[kind]({ waitUntil: (promise) => (done = promise) });
    await done;
  };
  return {
    caches,
    install: () => waited("install"),
    activate: () => waited("activate"),
    ask: (name) =>
      new Promise((resolve, reject) => {
        const event = { request: new ScopedRequest(name), respondWith: (answer) => answer.then(resolve, reject) };
        handlers.fetch(event);
      }),
  };
}

const right = (name) => new Response(PUBLISHED[name] ?? null, { status: name in PUBLISHED ? 200 : 404 });
const wrong = () => new Response(SIGN_IN, { status: 200 });
const offline = () => {
  throw new TypeError("no connection");
};

test("keeps the published files and answers from them without a connection", async () => {
  const online = startedWorker(right);
  await online.install();
  await online.activate();
  assert.equal(await (await online.ask(AREA)).text(), "area");
  assert.deepEqual(await online.caches.textsByPath(), PUBLISHED);
  const later = startedWorker(offline, online.caches);
  for (const [name, text] of Object.entries(PUBLISHED)) assert.equal(await (await later.ask(name)).text(), text);
});

test("does not install a wrong file", async () => {
  for (const name of OWN) {
    const portal = startedWorker((asked) => (asked === name ? wrong() : right(asked)));
    await assert.rejects(portal.install(), /502/, name);
    assert.deepEqual(await portal.caches.textsByPath(), {}, name);
  }
});

test("neither keeps nor uses a wrong answer, of any length", async () => {
  for (const body of [SIGN_IN, "", "aree", "area "]) {
    const portal = startedWorker((name) => (name === AREA ? new Response(body, { status: 200 }) : right(name)));
    await portal.install();
    const answer = await portal.ask(AREA);
    assert.equal(answer.status, 502, body);
    assert.equal(await answer.text(), "");
    assert.ok(!(AREA in (await portal.caches.textsByPath())), body);
    const signedIn = startedWorker(right, portal.caches);
    assert.equal(await (await signedIn.ask(AREA)).text(), "area");
  }
});

test("asks the server again where the browser's own store has the wrong file", async () => {
  const asked = [];
  const stale = startedWorker((name, cache) => {
    asked.push([name, cache]);
    return name === AREA && cache !== "reload" ? wrong() : right(name);
  });
  assert.equal(await (await stale.ask(AREA)).text(), "area");
  assert.deepEqual(asked, [
    [AREA, undefined],
    [AREA, "reload"],
  ]);
  assert.equal((await stale.caches.textsByPath())[AREA], "area");
});

test("drops a wrong file that was kept before", async () => {
  const caches = cacheStorage();
  const store = await caches.open(`thirstline ${SCOPE} data`);
  await store.put(new URL(AREA, SCOPE).href, wrong());
  assert.equal(await (await startedWorker(right, caches).ask(AREA)).text(), "area");
  await store.put(new URL(AREA, SCOPE).href, wrong());
  await assert.rejects(startedWorker(offline, caches).ask(AREA), /no connection/);
  assert.ok(!(AREA in (await caches.textsByPath())));
});

test("hands on what the server says of a file that is gone", async () => {
  const gone = startedWorker(() => new Response(null, { status: 404 }));
  assert.equal((await gone.ask(AREA)).status, 404);
});
