// The year of a site: the image's integers in millimetres, and derived values (percent of peak,
// peak month, yearly sums), exactly. See lookup/site/site_profile.hpp. Unknown values are null.
import { isGreater, quantity, ratio, sum, times } from "./exact_numbers.mjs";

export const MONTH_NAMES = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];
/** Days of each month over four years; February has 28.25 days a year. */
const QUARTER_DAYS_IN_MONTH = [124, 113, 124, 120, 124, 120, 124, 124, 120, 124, 120, 124];
const ANSWER_SCALE = 100;

function layerValue(layer, month) {
  const value = layer?.values[month] ?? null;
  return value === null ? null : quantity(value, layer.divisor * ANSWER_SCALE);
}

const aMonth = (aDay, month) => aDay && times(aDay, QUARTER_DAYS_IN_MONTH[month], 4);

/** Null unless every month has a value. */
const sumOf = (values) => values.reduce((total, value) => total && value && sum(total, value), quantity(0));

/** `answer` is the result of imageReader's function. */
export function siteProfile(answer) {
  const { eto, rain, eto_se, rain_se, tmax, tmin, elevation } = answer.layers;
  const months = MONTH_NAMES.map((name, month) => ({
    name,
    etoMmPerDay: layerValue(eto, month),
    etoMm: aMonth(layerValue(eto, month), month),
    etoSeMm: aMonth(layerValue(eto_se, month), month),
    rainMm: layerValue(rain, month),
    rainSeMm: layerValue(rain_se, month),
    tmaxC: layerValue(tmax, month),
    tminC: layerValue(tmin, month),
  }));
  let peak = null;
  for (const month of months) {
    if (month.etoMmPerDay && isGreater(month.etoMmPerDay, peak?.etoMmPerDay ?? quantity(0))) peak = month;
  }
  for (const month of months) {
    month.percentOfPeak = peak && month.etoMmPerDay && times(ratio(month.etoMmPerDay, peak.etoMmPerDay), 100);
  }
  return {
    months,
    peak,
    annualEtoMm: sumOf(months.map((month) => month.etoMm)),
    annualRainMm: sumOf(months.map((month) => month.rainMm)),
    hasErrors: months.some((month) => month.etoSeMm || month.rainSeMm),
    elevationM: layerValue(elevation, 0),
  };
}
