// The year as a drawing: rain as hatched bars, ETo as a line with dots, and the standard error of
// both as whiskers; told apart without colours, too. The table beside it has the numbers.
import { svgElement as svg } from "./elements.mjs";
import { approximately } from "./exact_numbers.mjs";
import { depthOf, depthText, depthUnit } from "./units.mjs";

const WIDTH = 640;
const HEIGHT = 340;
const LEFT = 46;
const RIGHT = 8;
const TOP = 36;
const BOTTOM = 30;
const STEP = (WIDTH - LEFT - RIGHT) / 12;
const BAR = STEP * 0.56;
const ERROR_CAP = 4;

/** A round step that gives three to six lines up to `greatest`. */
function roundStep(greatest) {
  const power = 10 ** Math.floor(Math.log10(greatest / 3));
  return [1, 2, 2.5, 5, 10].map((factor) => factor * power).find((step) => greatest / step <= 5.5);
}

const drawn = (mm, units) => (mm ? approximately(depthOf(mm, units)) : null);
const at = (month) => LEFT + (month + 0.5) * STEP;

function whisker(x, y, low, high, kind) {
  return svg("path", { class: `whisker ${kind}`,
    d: `M${x - ERROR_CAP} ${y(high)}h${2 * ERROR_CAP}M${x} ${y(high)}V${y(Math.max(low, 0))}m${-ERROR_CAP} 0h${2 * ERROR_CAP}` });
}

/** Lines through runs of known months. */
function linePath(values, y) {
  let isOpen = false;
  return values.map((value, month) => {
    if (value === null) isOpen = false;
    const step = value === null ? "" : `${isOpen ? "L" : "M"}${at(month).toFixed(1)} ${y(value).toFixed(1)}`;
    isOpen ||= value !== null;
    return step;
  }).join("");
}

function gridLines(step, top, y, units) {
  const lines = [];
  for (let count = 0; count * step <= top + step / 1000; ++count) {
    const value = count * step;
    lines.push(svg("path", { class: count === 0 ? "base" : "grid", d: `M${LEFT} ${y(value)}H${WIDTH - RIGHT}` }),
      svg("text", { class: "tick", x: LEFT - 6, y: y(value) + 4, "text-anchor": "end" }, String(+value.toPrecision(6))));
  }
  lines.push(svg("text", { class: "tick", x: LEFT - 6, y: TOP - 14, "text-anchor": "end" }, depthUnit(units)));
  return lines;
}

function legend(label, hasErrors) {
  const y = 14;
  return [
    svg("path", { class: "eto", d: `M${LEFT + 20} ${y - 4}h28` }), svg("circle", { class: "dot", cx: LEFT + 34, cy: y - 4, r: 4 }),
    svg("text", { x: LEFT + 54, y }, label),
    svg("rect", { class: "rain", x: LEFT + 110, y: y - 10, width: 24, height: 12 }), svg("text", { x: LEFT + 140, y }, "Rain"),
    hasErrors ? svg("text", { class: "tick", x: WIDTH - RIGHT, y, "text-anchor": "end" }, "whiskers: ± one standard error") : null,
  ];
}

function summary(profile, label, units) {
  const unit = depthUnit(units);
  const one = (month, mm) => `${month.name} ${depthText(mm, units)} ${unit}`;
  const wet = profile.months.filter((month) => month.rainMm).sort((a, b) => approximately(b.rainMm) - approximately(a.rainMm));
  const parts = [];
  if (profile.peak) parts.push(`${label} is greatest in ${one(profile.peak, profile.peak.etoMm)}.`);
  if (wet.length > 0) parts.push(`Rain is greatest in ${one(wet[0], wet[0].rainMm)}, least in ${one(wet.at(-1), wet.at(-1).rainMm)}.`);
  return [...parts, "The table has all months."].join(" ");
}

export function profileChart(profile, label, units) {
  const eto = profile.months.map((month) => drawn(month.etoMm, units));
  const rain = profile.months.map((month) => drawn(month.rainMm, units));
  const etoSe = profile.months.map((month) => drawn(month.etoSeMm, units));
  const rainSe = profile.months.map((month) => drawn(month.rainSeMm, units));
  const greatest = Math.max(0.1, ...eto.map((value, m) => value + etoSe[m]), ...rain.map((value, m) => value + rainSe[m]));
  const step = roundStep(greatest);
  const top = Math.ceil(greatest / step - 1e-9) * step;
  const y = (value) => TOP + (HEIGHT - TOP - BOTTOM) * (1 - value / top);
  const marks = profile.months.flatMap((month, m) => [
    rain[m] === null ? null : svg("rect", { class: "rain", x: at(m) - BAR / 2, y: y(rain[m]), width: BAR, height: y(0) - y(rain[m]) }),
    rain[m] === null || rainSe[m] === null ? null : whisker(at(m) - BAR / 4, y, rain[m] - rainSe[m], rain[m] + rainSe[m], "of-rain"),
    svg("text", { class: "month wide", x: at(m), y: HEIGHT - 9, "text-anchor": "middle" }, month.name.slice(0, 3)),
    svg("text", { class: "month narrow", x: at(m), y: HEIGHT - 9, "text-anchor": "middle", "aria-hidden": "true" }, month.name[0]),
  ]);
  const points = profile.months.flatMap((month, m) => eto[m] === null ? [] : [
    etoSe[m] === null ? null : whisker(at(m), y, eto[m] - etoSe[m], eto[m] + etoSe[m], "of-eto"),
    svg("circle", { class: "dot", cx: at(m), cy: y(eto[m]), r: 4 }),
  ]);
  return svg("svg", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "img", "aria-labelledby": "chart-title chart-text" },
    svg("title", { id: "chart-title" }, `${label} and rain by month, in ${depthUnit(units)}`),
    svg("desc", { id: "chart-text" }, summary(profile, label, units)),
    svg("defs", {}, svg("pattern", { id: "hatch", width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
      svg("path", { class: "hatch", d: "M0 0V5" }))),
    gridLines(step, top, y, units), marks,
    svg("path", { class: "eto", d: linePath(eto, y) }), points, legend(label, profile.hasErrors));
}
