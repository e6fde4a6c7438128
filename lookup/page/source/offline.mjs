// The service worker, for offline use: started a while after the first answer, so that it does not slow
// that down, or after a longer while without one. A page opened as a file, or from a
// server without TLS, does without.
const AFTER_ANSWER_MS = 1500;
const WITHOUT_ANSWER_MS = 8000;
let isBegun = false;

export const keepForOffline = () => setTimeout(begin, AFTER_ANSWER_MS);

function begin() {
  if (isBegun || !("serviceWorker" in navigator)) return;
  isBegun = true;
  navigator.serviceWorker
    .register("service-worker.js")
    .then(keepWhatWasShown)
    .catch(() => {});
}

/** The files that came before the worker did come again, from the browser's own store, through it. */
async function keepWhatWasShown() {
  await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller) {
    await new Promise((resolve) =>
      navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true }),
    );
  }
  const names = performance
    .getEntriesByType("resource")
    .map((entry) => entry.name)
    .filter((name) => name.includes("/data/"));
  // Read to the end: an answer that is left half read keeps the worker from ever giving way.
  await Promise.all(names.map(async (name) => (await fetch(name)).arrayBuffer()));
}

setTimeout(begin, WITHOUT_ANSWER_MS);
