// The map's data: a raster of cells, south-west first, with layers of values, and rings of
// longitude and latitude around the area with data. `data` is in the published form.
import { positionOfDegrees } from "./coordinates.mjs";
import { fixedText, ratio, sum, times } from "./exact_numbers.mjs";
import { yearCell } from "./table_rows.mjs";

const ARCSEC_PER_DEGREE = 3600;
const MOST_CLASSES = 9;
const MM_PER_INCH = 25.4;

/** Degrees: {west, south, east, north}; east may exceed 180. */
export function mapBounds(data) {
  const west = data.west_arcsec / ARCSEC_PER_DEGREE;
  const south = data.south_arcsec / ARCSEC_PER_DEGREE;
  const cell = data.spacing_arcsec / ARCSEC_PER_DEGREE;
  return { west, south, east: west + data.columns * cell, north: south + data.rows * cell, cell };
}

/** A longitude comparable with the raster's: within 360 degrees east of `west`. */
const eastOf = (lon, west) => west + ((((lon - west) % 360) + 360) % 360);

/** The value of the cell that contains a place, in the layer's unit, or null. */
export function valueAt(data, layer, { lat, lon }) {
  const { west, south, cell } = mapBounds(data);
  const row = Math.floor((lat - south) / cell);
  const column = Math.floor((eastOf(lon, west) - west) / cell);
  if (row < 0 || row >= data.rows || column < 0 || column >= data.columns) return null;
  return layer.values[row * data.columns + column] ?? null;
}

/** Four decimals are about eleven metres, finer than anyone can point. */
export const pointedPosition = ({ lat, lon }) =>
  positionOfDegrees(Number(Math.min(90, Math.max(-90, lat)).toFixed(4)), Number(lon.toFixed(4)));

/** Ring corners whose longitudes continue past 180 like the raster's. */
export function ringsOf(data) {
  const { west, cell } = mapBounds(data);
  // A ring on the western edge must not be moved to the other end of the circle.
  return data.outline.map((ring) => ring.map(([lon, lat]) => ({ lon: eastOf(lon, west - cell / 2), lat })));
}

/** Lines and named places of the ground, in longitude and latitude. */
export function groundOf({ west, south, step, lines, places }) {
  const place = (x, y) => ({ lon: west + x * step, lat: south + y * step });
  const corners = (steps) => {
    const line = [];
    for (let at = 0, x = 0, y = 0; at < steps.length; at += 2) {
      x += steps[at];
      y += steps[at + 1];
      line.push(place(x, y));
    }
    return line;
  };
  return { lines: lines.map(corners), places: places.map(([x, y, name]) => ({ ...place(x, y), name })) };
}

export const shownUnit = (layer, units) => (layer.unit === "mm" && units === "us" ? "in" : layer.unit);
const shownValue = (layer, units, value) => (shownUnit(layer, units) === layer.unit ? value : value / MM_PER_INCH);

/** As shown in a line of text: "1030 mm", "40.6 in", "4.9%". */
export function valueText(layer, units, value) {
  const decimals = shownUnit(layer, units) === "mm" ? 0 : 1;
  const unit = shownUnit(layer, units);
  return `${shownValue(layer, units, value).toFixed(decimals)}${unit === "%" ? "" : " "}${unit}`;
}

/** A layer's value of a site's year, as the answer shows it; null if the site has none. */
export function siteValueText(layer, units, { months, annualEtoMm, annualRainMm }) {
  if (layer.id === "eto_se_year_percent") {
    if (!annualEtoMm || months.some((month) => !month.etoSeMm)) return null;
    const error = months.map((month) => month.etoSeMm).reduce(sum);
    return `${fixedText(times(ratio(error, annualEtoMm), 100), 1)}%`;
  }
  const mm = layer.id === "eto_year" ? annualEtoMm : annualRainMm;
  return mm && `${yearCell(mm, units)} ${shownUnit(layer, units)}`;
}

/**
 * Classes of equal width between round numbers of the displayed unit: {lows, step, text(index),
 * indexOf(value)}. Null if the layer has no values.
 */
export function classesOf(layer, units) {
  let least = Infinity;
  let greatest = -Infinity;
  for (const value of layer.values) {
    if (value === null) continue;
    least = Math.min(least, value);
    greatest = Math.max(greatest, value);
  }
  if (least > greatest) return null;
  const [low, high] = [least, greatest].map((value) => shownValue(layer, units, value));
  const size = Math.max(high - low, 1e-3) / MOST_CLASSES;
  const power = 10 ** Math.floor(Math.log10(size));
  const isFew = (step) => Math.floor(high / step) - Math.floor(low / step) < MOST_CLASSES;
  const step = [1, 2, 2.5, 5, 10, 20].map((factor) => factor * power).find(isFew);
  const first = Math.floor(low / step);
  const count = Math.floor(high / step) - first + 1;
  const label = (index) => String(+((first + index) * step).toPrecision(6));
  return {
    count,
    text: (index) => `${label(index)} to ${label(index + 1)}`,
    indexOf: (value) => Math.min(count - 1, Math.max(0, Math.floor(shownValue(layer, units, value) / step) - first)),
  };
}
