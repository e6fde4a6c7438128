// The demand of one zone, by demand.wasm: lookup/page_core/page_core.h describes request and answer.

/** Returns a function from a request's text to the parsed answer. */
export async function demandCore(wasmBytes) {
  const { instance } = await WebAssembly.instantiate(wasmBytes, {});
  const core = instance.exports;
  core._initialize();
  const bytesAt = (at, count) => new Uint8Array(core.memory.buffer, at, count);
  return (request) => {
    const bytes = new TextEncoder().encode(request);
    const input = core.page_core_allocate(bytes.length);
    bytesAt(input, bytes.length).set(bytes);
    const output = core.page_core_demand(input, bytes.length);
    const answer = new TextDecoder().decode(bytesAt(output, core.page_core_text_bytes(output)));
    core.page_core_release(input);
    core.page_core_release(output);
    return JSON.parse(answer);
  };
}

const CLIMATE_LAYERS = ["eto", "eto_se", "rain", "rain_se", "tmax", "tmin"];

/** `zone` has the command's options without hyphens, with their values as typed. */
export function demandRequest(answer, reference, units, zone) {
  const climate = CLIMATE_LAYERS.filter((name) => answer.layers[name]).map((name) => {
    const { divisor, values } = answer.layers[name];
    return `${name}=${divisor}:${values.map((value) => value ?? "").join(",")}`;
  });
  // A line end would end a value.
  const options = Object.entries(zone).map(([name, value]) => `${name}=${value.replace(/[\r\n]+/g, " ").trim()}`);
  return [...climate, `reference=${reference}`, `units=${units}`, ...options].join("\n") + "\n";
}
