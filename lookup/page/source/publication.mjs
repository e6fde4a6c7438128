// The files of a publication, each fetched once: publication data and the locations of the shards.
// `fetched(name)` returns a Response-like object ({ok, status, arrayBuffer()}) for a name relative
// to the page, or throws if there is no connection.
import { imageReader } from "./image_reader.mjs";

/** A file could not be fetched: one sentence for the reader. */
export class PublicationError extends Error {}

const E7_PER_DEGREE = 10_000_000;
const ARCSEC_PER_DEGREE = 3600;

const squareAlong = (e7FromZero, edgeArcsec) =>
  Math.floor((e7FromZero * ARCSEC_PER_DEGREE) / (edgeArcsec * E7_PER_DEGREE));

/** "row,column" of the square that contains a position. */
export function squareOf({ lat, lon }, edgeArcsec) {
  return `${squareAlong(lat + 90 * E7_PER_DEGREE, edgeArcsec)},${squareAlong(lon + 180 * E7_PER_DEGREE, edgeArcsec)}`;
}

/** `names` is {baseline, reader, demand}. */
export function publication(names, fetched) {
  const kept = new Map();

  async function bytesOf(name) {
    let response;
    try {
      response = await fetched(name);
    } catch {
      throw new PublicationError("You are offline. Places already viewed still work.");
    }
    if (!response.ok) response.body?.cancel();
    if (response.status === 404) {
      throw new PublicationError("This page was updated. Reload it.");
    }
    if (!response.ok)
      throw new PublicationError(`The server did not return ${name} (${response.status}): try again later.`);
    return new Uint8Array(await response.arrayBuffer());
  }

  /** The result of `made` for a file; failures are not cached, so that it can be tried again. */
  function once(name, made) {
    if (!kept.has(name)) {
      const promise = bytesOf(name).then(made);
      promise.catch(() => kept.delete(name));
      kept.set(name, promise);
    }
    return kept.get(name);
  }
  const json = (bytes) => JSON.parse(new TextDecoder().decode(bytes));
  const baseline = () => once(names.baseline, json);

  async function shardOf(position) {
    const { areas } = await baseline();
    return areas.files[squareOf(position, areas.edge_arcsec)];
  }

  return {
    baseline,

    /** The result of imageReader's function for a position; null if there is no data. */
    async answerAt(position) {
      const shard = await shardOf(position);
      if (!shard) return null;
      const [look, image] = await Promise.all([once(names.reader, imageReader), once(shard.name, (bytes) => bytes)]);
      return look(image, position);
    },

    /** The same without fetching anything; undefined if the position's area has not been fetched. */
    async fetchedAnswerAt(position) {
      const shard = await shardOf(position);
      return shard && kept.has(shard.name) ? this.answerAt(position).catch(() => undefined) : undefined;
    },

    /** Rows [code, country, place, lat, lon] of the shards that would contain these codes. */
    async postalRows(codes) {
      const { postal } = await baseline();
      const prefixes = new Set(codes.map((code) => code.slice(0, postal.prefix)));
      const shards = [...prefixes].flatMap((prefix) =>
        Object.hasOwn(postal.files, prefix) ? [postal.files[prefix]] : [],
      );
      const lists = await Promise.all(shards.map((shard) => once(shard.name, json)));
      return lists.flatMap((list) => list.codes);
    },

    readerIsWanted: () => once(names.reader, imageReader).catch(() => {}),
    /** Null if the publication has none. */
    async groundData() {
      const { ground } = await baseline();
      return ground ? once(ground.name, json) : null;
    },
    mapData: async () => once((await baseline()).map.name, json),
    demandModule: () => once(names.demand, (bytes) => bytes),
  };
}
