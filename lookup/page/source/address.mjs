// The site in the page's address, after "#", so that a link reopens it:
//   #at=44.45,-37.59&units=us     #code=04107&country=XM&units=metric
import { positionInAddress } from "./coordinates.mjs";

/** Parses `#…`: {at} or {code, country}, and optionally units; otherwise none of them. */
export function askedInAddress(fragment) {
  const given = new URLSearchParams(fragment.replace(/^#/, ""));
  const units = ["us", "metric"].includes(given.get("units")) ? given.get("units") : null;
  if (given.get("code")) return { code: given.get("code"), country: given.get("country") ?? "", units };
  if (given.get("at")) return { at: given.get("at"), units };
  return { units };
}

export function addressOf(site, units) {
  // Commas are not escaped: people read links, too.
  const place = site.code
    ? `code=${encodeURIComponent(site.code)}&country=${encodeURIComponent(site.country)}`
    : `at=${positionInAddress(site.position)}`;
  return `#${place}&units=${units}`;
}
