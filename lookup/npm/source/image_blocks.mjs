// The bytes of an image, fetched in blocks as they are needed: of a file, a Blob, or a URL by range
// requests (RFC 9110, section 14). A source is {size, read(offset, count), close()}.

const BLOCK_BYTES = 32_768;
/** Two megabytes at most, more only while a call needs them. */
const BLOCKS_KEPT = 64;

/** The image cannot be read: one sentence. */
export class ImageError extends Error {
  constructor(message, options) {
    super(message, options);
    this.name = "ImageError";
  }
}

/** A Blob, or the File of a browser. */
export const blobSource = (blob) => ({
  size: blob.size,
  read: async (offset, count) => new Uint8Array(await blob.slice(offset, offset + count).arrayBuffer()),
  close: async () => {},
});

/** A file of Node: a path or a file URL. */
export async function fileSource(path) {
  const { open } = await import("node:fs/promises");
  let file;
  try {
    file = await open(path);
    const { size } = await file.stat();
    return {
      size,
      async read(offset, count) {
        const { bytesRead, buffer } = await file.read(new Uint8Array(count), 0, count, offset);
        return buffer.subarray(0, bytesRead);
      },
      close: () => file.close(),
    };
  } catch (error) {
    await file?.close();
    throw new ImageError(`${path} cannot be read: ${error.message}`, { cause: error });
  }
}

async function fetched(fetcher, url, headers) {
  let response;
  try {
    response = await fetcher(url, { headers });
  } catch (error) {
    throw new ImageError(`${url} cannot be fetched: ${error.message}`, { cause: error });
  }
  if (!response.ok) {
    await response.body?.cancel();
    throw new ImageError(`the server did not return ${url}: status ${response.status}`);
  }
  return response;
}

const bytesOf = async (response) => new Uint8Array(await response.arrayBuffer());
const rangeOf = (offset, count) => ({ Range: `bytes=${offset}-${offset + count - 1}` });

/** Also the bytes of the whole image, if the server does not answer range requests. */
export async function urlSource(url, fetcher) {
  const first = await fetched(fetcher, url, rangeOf(0, BLOCK_BYTES));
  if (first.status !== 206) return { bytes: await bytesOf(first) };
  const size = Number(/\/(\d+)$/.exec(first.headers.get("Content-Range") ?? "")?.[1]);
  if (!Number.isSafeInteger(size)) throw new ImageError(`the server does not say how long ${url} is`);
  // The server sends the whole of a file that was replaced in the meantime.
  const version = first.headers.get("ETag");
  const unchanged = version && !version.startsWith("W/") ? { "If-Range": version } : {};
  const start = await bytesOf(first);
  return {
    size,
    async read(offset, count) {
      if (offset + count <= start.length) return start.subarray(offset, offset + count);
      const response = await fetched(fetcher, url, { ...rangeOf(offset, count), ...unchanged });
      if (response.status !== 206) {
        await response.body?.cancel();
        throw new ImageError(`${url} was changed while it was read: open it again`);
      }
      return bytesOf(response);
    },
    close: async () => {},
  };
}

/**
 * Blocks of a source for a reader that cannot wait: `read(offset, into)` copies what is there, and
 * notes what is missing; `loaded()` then fetches it, and is false if nothing was missing.
 */
export function imageBlocks(source) {
  const blocks = new Map();
  const missing = new Set();

  async function load(number) {
    const offset = number * BLOCK_BYTES;
    const count = Math.min(BLOCK_BYTES, source.size - offset);
    const bytes = await source.read(offset, count);
    if (bytes.length !== count) throw new ImageError("the image became shorter while it was read: open it again");
    blocks.set(number, bytes);
  }

  return {
    read(offset, into) {
      const first = Math.floor(offset / BLOCK_BYTES);
      const last = Math.floor((offset + into.length - 1) / BLOCK_BYTES);
      let isWhole = true;
      for (let number = first; number <= last; ++number) {
        const block = blocks.get(number);
        if (block === undefined) {
          missing.add(number);
          isWhole = false;
          continue;
        }
        // The most recently used last.
        blocks.delete(number);
        blocks.set(number, block);
        const begin = number * BLOCK_BYTES;
        const from = Math.max(offset, begin);
        const end = Math.min(offset + into.length, begin + block.length);
        into.set(block.subarray(from - begin, end - begin), from - offset);
      }
      return isWhole;
    },
    async loaded() {
      const numbers = [...missing];
      missing.clear();
      await Promise.all(numbers.map(load));
      return numbers.length > 0;
    },
    forgetOldest() {
      for (const number of blocks.keys()) {
        if (blocks.size <= BLOCKS_KEPT) return;
        blocks.delete(number);
      }
    },
  };
}
