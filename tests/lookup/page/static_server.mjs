// A plain web server on loopback, like a host of static pages: it serves files with their types,
// and records the requests.
import { createServer } from "node:http";
import { readFileSync, statSync } from "node:fs";
import { extname, join, normalize } from "node:path";

const TYPES = {
  ".html": "text/html",
  ".js": "text/javascript",
  ".json": "application/json",
  ".wasm": "application/wasm",
};

/**
 * Serves `folder` below `path` ("/" or "/some/place/"). With `refusesRanges` it answers a request for
 * a range with an error; with `isBare` it knows no type but that of pages and scripts. Returns
 * {url, asked, serve(folder), stop(), start()}: asked has {name, status, bytes} of each answer.
 */
export async function staticServer(folder, { path = "/", refusesRanges = false, isBare = false } = {}) {
  const asked = [];
  const noSuchFile = Buffer.from("There is no such file.\n");
  function answer(request, response) {
    const name = decodeURIComponent(new URL(request.url, "http://any").pathname);
    const end = (status, bytes = Buffer.alloc(0), headers = {}) => {
      asked.push({ name, status, bytes: bytes.length });
      response.writeHead(status, { "content-length": bytes.length, ...headers });
      response.end(bytes);
    };
    if (!name.startsWith(path)) return end(404, noSuchFile, { "content-type": "text/plain" });
    if (request.headers.range && refusesRanges) return end(416);
    let file = join(folder, normalize(name.slice(path.length)));
    try {
      if (statSync(file).isDirectory()) file = join(file, "index.html");
      const type = TYPES[extname(file)];
      const isListed = type && (!isBare || /html|javascript/.test(type));
      return end(200, readFileSync(file), { "content-type": isListed ? type : "application/octet-stream" });
    } catch {
      return end(404, noSuchFile, { "content-type": "text/plain" });
    }
  }
  let server = createServer(answer);
  const listening = (port) => new Promise((resolve) => server.listen(port, "127.0.0.1", resolve));
  await listening(0);
  const { port } = server.address();
  return {
    url: `http://127.0.0.1:${port}${path}`,
    asked,
    serve(other) {
      folder = other;
    },
    async stop() {
      const closed = new Promise((resolve) => server.close(resolve));
      server.closeAllConnections();
      await closed;
    },
    start() {
      server = createServer(answer);
      return listening(port);
    },
  };
}
