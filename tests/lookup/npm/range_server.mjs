// A web server on loopback for one file, which answers range requests (or not), and counts bytes.
import { createServer } from "node:http";

/** `content()` returns the current bytes. Returns {url, sent, stop(), set}: set.ranges, set.tag, set.status. */
export async function rangeServer(content) {
  const state = { sent: 0, requests: 0, set: { ranges: true, tag: '"1"', status: 0 } };
  const server = createServer((request, response) => {
    const bytes = content();
    const { ranges, tag, status } = state.set;
    const send = (code, part, headers = {}) => {
      state.sent += part.length;
      ++state.requests;
      response.writeHead(code, { etag: tag, "content-length": part.length, ...headers });
      response.end(part);
    };
    if (status !== 0) return send(status, Buffer.from("no"));
    const [, from, to] = /^bytes=(\d+)-(\d+)$/.exec(request.headers.range ?? "") ?? [];
    const isOther = request.headers["if-range"] !== undefined && request.headers["if-range"] !== tag;
    if (from === undefined || !ranges || isOther) return send(200, bytes);
    const part = bytes.subarray(Number(from), Number(to) + 1);
    return send(206, part, { "content-range": `bytes ${from}-${Number(from) + part.length - 1}/${bytes.length}` });
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  state.url = `http://127.0.0.1:${server.address().port}/valley.img`;
  state.stop = () => {
    server.closeAllConnections();
    return new Promise((resolve) => server.close(resolve));
  };
  return state;
}
