// What the page says of a site and of its numbers: see lookup/site_output/site_words.hpp and
// lookup/site_output/source_sentences.hpp.
import { positionText } from "./coordinates.mjs";
import { quantity } from "./exact_numbers.mjs";
import { distanceText, heightText } from "./units.mjs";

export const etoLabel = (baseline) => (baseline.reference === "tall" ? "ETr" : "ETo");

/** "Ostrey Bridge, XM 04107", or the position of a site without a postal code. */
export function placeName(site) {
  if (!site.code) return positionText(site.position);
  const code = `${site.country} ${site.code}`;
  return site.place === "" ? code : `${site.place}, ${code}`;
}

/** Which place answers, and for what height. */
export function placeSentences(site, answer, profile, units) {
  const out = site.code ? [`${positionText(site.position)}.`] : [];
  out.push(
    answer.isInterpolated
      ? "Interpolated between the points around the site."
      : `Nearest point with data: ${distanceText(quantity(answer.distanceM), units)} away, at ${positionText(answer.at)}.`,
  );
  if (profile.elevationM) {
    out.push(
      `For ${heightText(profile.elevationM, units)} above the sea, the mean height of the data here; ` +
        "in hills a site at another height may differ.",
    );
  }
  return out;
}

function correctionSentence(baseline) {
  return baseline.site_correction === "reference"
    ? "Site correction: weather stations stand in drier, hotter places than what is watered; in dry months temperature and " +
        "humidity are carried to a well-watered surface, wherever rain is known."
    : "Site correction: none; weather is taken as measured, which in dry places makes ETo too high.";
}

export function aboutTheseNumbers(baseline, answer, profile) {
  const period = baseline.period === "" ? "Normals" : `Normals of ${baseline.period}`;
  return [
    baseline.reference === "tall"
      ? "ETr is the water that a tall, well-watered reference crop (alfalfa) would use."
      : "ETo is the water that a lawn of well-watered reference grass would use.",
    period +
      (answer.isInterpolated
        ? ", interpolated between the points around the site."
        : ", of the nearest point with data."),
    correctionSentence(baseline),
    profile.hasErrors
      ? "± is one standard error: nine times in ten the true normal lies within 1.6 of them. Single years stray further."
      : "No standard errors are stated.",
    "Rain is all precipitation, snow's water included.",
    "A normal is the mean of many years, not a forecast.",
  ];
}

const sentence = (text) => (text === "" || text.endsWith(".") ? text : `${text}.`);

/** One for all sources of the same period, licence and attribution: {names: [{name, url}], terms}. */
export function sourceGroups(sources) {
  const groups = new Map();
  for (const { name, url, period, licence, attribution } of sources) {
    const key = JSON.stringify([period, licence, attribution]);
    if (!groups.has(key)) {
      const terms = [
        period === "" ? "." : `: ${sentence(period)}`,
        sentence(attribution),
        licence === "" ? "" : `Licence: ${sentence(licence)}`,
      ];
      groups.set(key, { names: [], terms: terms.filter((text) => text !== "").join(" ") });
    }
    const { names } = groups.get(key);
    if (!names.some((known) => known.name === name)) names.push({ name, url });
  }
  return [...groups.values()];
}
