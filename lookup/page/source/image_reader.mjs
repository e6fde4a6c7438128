// Queries images (schema/IMAGE.md) with reader.wasm: see reader.c.

const STATUS = { ok: 0, noData: 1, unsupported: 5, noSuchPart: 7 };
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
 * Returns a function of (image, position): {isInterpolated, distanceM, at, layers}, where a layer
 * is {divisor, values}: twelve whole numbers in 1 / (100 * divisor) of its unit, or null; null if
 * the image has no data within reach. Throws Error if the bytes are not a valid image.
 */
export async function imageReader(wasmBytes) {
  const { instance } = await WebAssembly.instantiate(wasmBytes, {});
  const reader = instance.exports;
  let opened = null;

  function open(image) {
    if (opened === image) return;
    opened = null;
    const at = reader.image_room(image.length);
    if (at === 0) throw new Error("there is no memory for the data of this area");
    new Uint8Array(reader.memory.buffer, at, image.length).set(image);
    const status = reader.image_open(at, image.length);
    if (status === STATUS.unsupported)
      throw new Error("the data of this area are of a version that this page cannot read");
    if (status !== STATUS.ok) throw new Error("the data of this area are damaged");
    opened = image;
  }

  function partOf(part, position) {
    const status = reader.look_up(position.lat, position.lon, part);
    if (status === STATUS.noData || status === STATUS.noSuchPart) return null;
    if (status !== STATUS.ok) throw new Error("the data of this area are damaged");
    return answerOf([...new Int32Array(reader.memory.buffer, reader.answer(), ANSWER_WORDS)]);
  }

  return (image, position) => {
    open(image);
    const parts = PARTS.map((part) => partOf(part, position));
    const [means] = parts;
    if (means === null) return null;
    return { ...means, layers: Object.assign({}, ...parts.map((part) => part?.layers ?? {})) };
  };
}
