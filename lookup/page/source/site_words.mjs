// The page's sentences about a site and its numbers: see lookup/site_output/site_words.hpp and
// lookup/site_output/source_sentences.hpp.
import { positionInAddress, positionText } from "./coordinates.mjs";
import { quantity } from "./exact_numbers.mjs";
import { distanceText, heightText } from "./units.mjs";

export const etoLabel = (baseline) => (baseline.reference === "tall" ? "ETr" : "ETo");

/** "Ostrey Bridge, XM 04107", or the position of a site without a postal code. */
export function placeName(site) {
  if (!site.code) return positionText(site.position);
  const code = `${site.country} ${site.code}`;
  return site.place === "" ? code : `${site.place}, ${code}`;
}

/** What to type, by an example from the data; in the two forms of a position that most people use. */
export function hintText({ example }) {
  if (!example) return "Latitude comes first.";
  // Rounded to about a kilometer: an example is to be short.
  const [lat, lon] = [example.lat_e7, example.lon_e7].map((e7) => Math.round(e7 / 100_000) * 100_000);
  const letters = positionText({ lat, lon })
    .replace(/ (?=[NSEW])/g, "")
    .replace(", ", "\u00a0");
  const typed = `${positionInAddress({ lat, lon })} or ${letters}`;
  return `For example ${example.code === "" ? "" : `${example.code} or `}${typed}.`;
}

/** The location and the elevation of the answer. */
export function placeSentences(site, answer, profile, units) {
  const out = site.code ? [`${positionText(site.position)}.`] : [];
  out.push(
    answer.isInterpolated
      ? "Interpolated from the surrounding grid points."
      : `Nearest point with data: ${distanceText(quantity(answer.distanceM), units)} away, at ${positionText(answer.at)}.`,
  );
  if (profile.elevationM) {
    out.push(
      `Elevation of the data: ${heightText(profile.elevationM, units)}. In hills a site at another elevation may differ.`,
    );
  }
  return out;
}

function correctionSentence(baseline) {
  return baseline.site_correction === "reference"
    ? "Site correction: most weather stations are drier and hotter than irrigated sites. In dry months temperature and " +
        "dew point are moved part of the way to irrigated conditions (after FAO-56 Annex 6; the limit of 3 degrees C (5.4 F) and " +
        "the weight by dryness are Thirstline's own)."
    : "Site correction: none. Weather is used as measured, which tends to overstate ETo in dry areas.";
}

export function aboutTheseNumbers(baseline, answer, profile) {
  const period = baseline.period === "" ? "Normals" : `Normals of ${baseline.period}`;
  return [
    baseline.reference === "tall"
      ? "ETr: reference evapotranspiration of a tall, well-watered crop (alfalfa)."
      : "ETo: reference evapotranspiration of well-watered, clipped grass.",
    period +
      (answer.isInterpolated
        ? ", interpolated from the surrounding grid points."
        : ", from the nearest grid point with data."),
    correctionSentence(baseline),
    profile.hasErrors
      ? "± is one standard error of the normal; the 90% interval is ±1.645 standard errors. Single years vary more."
      : "This file has no standard errors.",
    "Rain is total precipitation, including snow water equivalent.",
    "A normal is the mean of many years, not a forecast.",
  ];
}

const sentence = (text) => (text === "" || text.endsWith(".") ? text : `${text}.`);

/** One group for all sources with the same period, licence and attribution: {names: [{name, url}],
 * terms}. */
export function sourceGroups(sources) {
  const groups = new Map();
  for (const { name, url, period, licence, attribution } of sources) {
    const key = JSON.stringify([period, licence, attribution]);
    if (!groups.has(key)) {
      const terms = [
        period === "" ? "." : `: ${sentence(period)}`,
        sentence(attribution),
        licence === "" ? "" : `License: ${sentence(licence)}`,
      ];
      groups.set(key, { names: [], terms: terms.filter((text) => text !== "").join(" ") });
    }
    const { names } = groups.get(key);
    if (!names.some((known) => known.name === name)) names.push({ name, url });
  }
  return [...groups.values()];
}
