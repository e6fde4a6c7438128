// The cells of the table of a year, as in the command's table: lookup/site_output/site_table.cpp.
import { fixedText } from "./exact_numbers.mjs";
import { depthText } from "./units.mjs";

const depthCell = (mm, units) => (mm ? depthText(mm, units) : "–");
/** With one decimal less, as in the command. */
export const yearCell = (mm, units) => (mm ? depthText(mm, units, -1) : "–");
const errorCell = (mm, units) => (mm ? `±${depthText(mm, units)}` : "");
const percentCell = (share) => (share ? fixedText(share, 0) : "–");

/** Rows of texts: twelve months and the year, as in the command's table. */
export function tableRows(profile, units) {
  const rows = profile.months.map((month) => [
    month.name,
    depthCell(month.etoMm, units),
    errorCell(month.etoSeMm, units),
    depthCell(month.rainMm, units),
    errorCell(month.rainSeMm, units),
    percentCell(month.percentOfPeak),
  ]);
  return [...rows, ["Year", yearCell(profile.annualEtoMm, units), "", yearCell(profile.annualRainMm, units), "", ""]];
}
