// The entry `thirstline/demand`: a zone's schedule from a site's answer. demand.d.ts has the types.
import demandWasm from "demand.wasm";
import { demandCore, demandRequest } from "../../page/source/demand_core.mjs";
// The package's other bundle, so that its errors are of one class.
import { UsageError } from "./index.js";

let core = null;

export async function demand(site, zone, { units = "metric", reference = "short" } = {}) {
  if (!site?.layers?.eto) throw new UsageError("A demand needs a site of an image.");
  core ??= demandCore(demandWasm);
  const options = Object.fromEntries(Object.entries(zone).map(([name, value]) => [name, String(value)]));
  const answer = (await core)(demandRequest(site, reference, units, options));
  if (answer.error) throw new UsageError(answer.error.message, answer.error.hint);
  return answer;
}
