// The service worker, for when there is no connection: begun after the first answer, lest it take
// the line from it, or after a while without one. A page opened as a file, or from a server without
// TLS, does without.
const PATIENCE_MS = 8000;
let isBegun = false;

export function keepForOffline() {
  if (isBegun || !("serviceWorker" in navigator)) return;
  isBegun = true;
  navigator.serviceWorker.register("service-worker.js").then(keepWhatWasShown).catch(() => {});
}

/** The files that came before the worker did come again, from the browser's own store, through it. */
async function keepWhatWasShown() {
  await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller) {
    await new Promise((resolve) => navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true }));
  }
  const names = performance.getEntriesByType("resource").map((entry) => entry.name).filter((name) => name.includes("/data/"));
  await Promise.all(names.map((name) => fetch(name)));
}

setTimeout(keepForOffline, PATIENCE_MS);
