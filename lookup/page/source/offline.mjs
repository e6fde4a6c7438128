// The service worker, for offline use. It is started some time after the first answer, so that it
// does not delay it, or after a longer time without one. There is none for a page opened as a file,
// or from a server without TLS.
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

/** Files loaded before the worker are fetched again through it, from the browser's cache. */
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
  // Read to the end: a partly read response would keep the worker from ever being replaced.
  await Promise.all(names.map(async (name) => (await fetch(name)).arrayBuffer()));
}

setTimeout(begin, WITHOUT_ANSWER_MS);
