// The units in which a person reads an answer: "metric" or "us".
import { fixedText, times } from "./exact_numbers.mjs";

const TERRITORIES_WITH_INCHES = ["US", "LR", "MM"];

/** By the reader's preferred languages: "en-US" means inches. */
export function unitsOfLanguages(languages) {
  const territory = /[-_]([A-Za-z]{2})\b/.exec(languages[0] ?? "")?.[1].toUpperCase();
  return TERRITORIES_WITH_INCHES.includes(territory) ? "us" : "metric";
}

export const depthUnit = (units) => (units === "us" ? "in" : "mm");

/** Millimetres converted to the unit of depth. */
export const depthOf = (mm, units) => (units === "us" ? times(mm, 10, 254) : mm);

export function depthText(mm, units, extraDecimals = 0) {
  return fixedText(depthOf(mm, units), (units === "us" ? 2 : 1) + extraDecimals);
}

export const heightText = (m, units) =>
  units === "us" ? `${fixedText(times(m, 10_000, 3048), 0)} ft` : `${fixedText(m, 0)} m`;

export const distanceText = (m, units) =>
  units === "us" ? `${fixedText(times(m, 1000, 1_609_344), 1)} miles` : `${fixedText(times(m, 1, 1000), 1)} km`;
