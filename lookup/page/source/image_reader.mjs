// Queries images (schema/IMAGE.md) with reader.wasm: see reader.c. Used by the page, and by the package for
// other programs (lookup/npm).

/** As in lookup/embedded/image_source.h. */
export const STATUS = { ok: 0, noData: 1, noSuchCode: 2, several: 3, unsupported: 5, unreadable: 6, noSuchPart: 7 };
export const ELEVATION_PART = 3;
const PLACE_WORDS = 4;
const HEAD_WORDS = 5;
const LAYER_WORDS = 14;
const PARTS = [0, 1, 2, 3];
const ANSWER_WORDS = HEAD_WORDS + 2 * LAYER_WORDS;
const MISSING = -2147483648;
const LAYER_NAMES = { 1: "eto", 2: "rain", 3: "eto_se", 4: "rain_se", 5: "tmax", 6: "tmin", 9: "elevation" };

function layerOf(words) {
  const [id, divisor, ...values] = words;
  return [
    LAYER_NAMES[id] ?? `layer ${id}`,
    { divisor, values: values.map((value) => (value === MISSING ? null : value)) },
  ];
}

function answerOf(words) {
  const [isInterpolated, distanceM, lat, lon, layerCount] = words;
  const layers = {};
  for (let layer = 0; layer < layerCount; ++layer) {
    const at = HEAD_WORDS + layer * LAYER_WORDS;
    const [name, values] = layerOf(words.slice(at, at + LAYER_WORDS));
    layers[name] = values;
  }
  return { isInterpolated: isInterpolated === 1, distanceM, at: { lat, lon }, layers };
}

/**
 * The functions of reader.wasm. Each returns a status; after `ok`, the reader's `answer…` functions
 * have its result, until the next call. `read(offset, into)` fills the bytes `into` from `offset` of
 * an image that is opened by reading, or returns false.
 */
export async function readerOf(wasmBytes, read = () => false) {
  let reader = null;
  const bytesAt = (at, count) => new Uint8Array(reader.memory.buffer, at, count);
  const imports = { image: { read: (offset, at, count) => (read(offset >>> 0, bytesAt(at, count)) ? 1 : 0) } };
  reader = (await WebAssembly.instantiate(wasmBytes, imports)).instance.exports;
  const words = (count) => [...new Int32Array(reader.memory.buffer, reader.answer(), count)];
  return {
    openBytes(image) {
      const at = reader.image_room(image.length);
      if (at === 0) return STATUS.unreadable;
      bytesAt(at, image.length).set(image);
      return reader.image_open(at, image.length);
    },
    openByReading: (size) => reader.image_open_by_reading(size),
    /** With the site's own elevation in whole metres, if hasGradients. */
    lookUp: (position, part, elevationM = null) =>
      elevationM === null
        ? reader.look_up(position.lat, position.lon, part)
        : reader.look_up_at_elevation(position.lat, position.lon, part, elevationM),
    hasGradients: () => reader.has_gradients() !== 0,
    answer: () => answerOf(words(ANSWER_WORDS)),
    reachM: () => reader.reach_m(),
    /** A code in the stored form, and two letters of a country or none. */
    findCode(code, country) {
      const text = new TextEncoder().encode(code + country);
      bytesAt(reader.text(), text.length).set(text);
      return reader.find_code(text.length - country.length, country === "" ? 0 : 1);
    },
    answerPlace() {
      const [lat, lon, ...letters] = words(PLACE_WORDS);
      return { position: { lat, lon }, country: String.fromCharCode(...letters) };
    },
    textFrom: (offset) => reader.text_from(offset),
    answerText() {
      const [copied, noticeBytes] = words(2);
      return { bytes: bytesAt(reader.text(), copied).slice(), noticeBytes };
    },
  };
}

/** The answer of all parts that the image has, by `lookUp(part)`: a result of answerOf, or null. */
export function answerOfParts(lookUp) {
  const parts = PARTS.map(lookUp);
  const [means] = parts;
  if (means === null) return null;
  return { ...means, layers: Object.assign({}, ...parts.map((part) => part?.layers ?? {})) };
}

/**
 * Returns a function of (image, position): {isInterpolated, distanceM, at, layers}, where a layer
 * is {divisor, values}: twelve whole numbers in 1 / (100 * divisor) of its unit, or null; null if
 * the image has no data within reach. Throws Error if the bytes are not a valid image.
 */
export async function imageReader(wasmBytes) {
  const reader = await readerOf(wasmBytes);
  let opened = null;

  function open(image) {
    if (opened === image) return;
    opened = null;
    const status = reader.openBytes(image);
    if (status === STATUS.unreadable) throw new Error("there is no memory for the data of this area");
    if (status === STATUS.unsupported)
      throw new Error("the data of this area are of a version that this page cannot read");
    if (status !== STATUS.ok) throw new Error("the data of this area are damaged");
    opened = image;
  }

  function partOf(part, position) {
    const status = reader.lookUp(position, part);
    if (status === STATUS.noData || status === STATUS.noSuchPart) return null;
    if (status !== STATUS.ok) throw new Error("the data of this area are damaged");
    return reader.answer();
  }

  return (image, position) => {
    open(image);
    return answerOfParts((part) => partOf(part, position));
  };
}
