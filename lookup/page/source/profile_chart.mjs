// A chart of the year: rain as hatched bars, ETo as a line with dots, and the standard errors of
// both as whiskers; distinguishable without colors. The table next to it has the numbers.
import { element, svgElement as svg } from "./elements.mjs";
import { approximately } from "./exact_numbers.mjs";
import { depthOf, depthText, depthUnit } from "./units.mjs";

/** One unit is about a screen pixel for the intended screen, so that text is legible. */
const WIDE = { width: 600, height: 400 };
const NARROW = { width: 330, height: 270 };
const LEFT = 40;
const RIGHT = 4;
const TOP = 26;
const BOTTOM = 26;

/** A round step that gives three to six lines up to `greatest`. */
function roundStep(greatest) {
  const power = 10 ** Math.floor(Math.log10(greatest / 3));
  return [1, 2, 2.5, 5, 10].map((factor) => factor * power).find((step) => greatest / step <= 5.5);
}

const drawn = (mm, units) => (mm ? approximately(depthOf(mm, units)) : null);

function whisker(x, y, low, high, cap, kind) {
  const [top, bottom] = [y(high), y(Math.max(low, 0))].map((end) => end.toFixed(1));
  return svg("path", {
    class: `whisker ${kind}`,
    d: `M${x - cap} ${top}h${2 * cap}M${x} ${top}V${bottom}m${-cap} 0h${2 * cap}`,
  });
}

/** Lines through runs of known months. */
function linePath(values, x, y) {
  let isOpen = false;
  return values
    .map((value, month) => {
      if (value === null) isOpen = false;
      const step = value === null ? "" : `${isOpen ? "L" : "M"}${x(month).toFixed(1)} ${y(value).toFixed(1)}`;
      isOpen ||= value !== null;
      return step;
    })
    .join("");
}

function gridLines(step, top, right, y, units) {
  const lines = [];
  for (let count = 0; count * step <= top + step / 1000; ++count) {
    const value = count * step;
    lines.push(
      svg("path", { class: count === 0 ? "base" : "grid", d: `M${LEFT} ${y(value)}H${right}` }),
      svg("text", { class: "tick", x: LEFT - 6, y: y(value) + 4, "text-anchor": "end" }, String(+value.toPrecision(6))),
    );
  }
  lines.push(svg("text", { class: "tick", x: LEFT - 6, y: TOP - 12, "text-anchor": "end" }, depthUnit(units)));
  return lines;
}

/** A line with a dot, a hatched box and a whisker, each with its label. */
function legend(label, hasErrors) {
  const entry = (text, ...marks) =>
    element("span", { class: "entry" }, svg("svg", { viewBox: "0 0 28 14", "aria-hidden": "true" }, marks), text);
  return element(
    "figcaption",
    { class: "legend" },
    entry(label, svg("path", { class: "eto", d: "M0 7h28" }), svg("circle", { class: "dot", cx: 14, cy: 7, r: 4 })),
    entry("Rain", svg("rect", { class: "rain", x: 3, y: 1, width: 22, height: 12 })),
    hasErrors
      ? entry(
          "one standard error",
          whisker(14, (value) => value, 12, 2, 4, "of-eto"),
        )
      : null,
  );
}

function summary(profile, label, units) {
  const unit = depthUnit(units);
  const one = (month, mm) => `${month.name}, ${depthText(mm, units)} ${unit}`;
  const wet = profile.months
    .filter((month) => month.rainMm)
    .sort((a, b) => approximately(b.rainMm) - approximately(a.rainMm));
  const parts = [];
  if (profile.peak) parts.push(`${label} is greatest in ${one(profile.peak, profile.peak.etoMm)}.`);
  if (wet.length > 0)
    parts.push(
      `Rain is greatest in ${one(wet[0], wet[0].rainMm)}, and least in ${one(wet.at(-1), wet.at(-1).rainMm)}.`,
    );
  return [...parts, "The table has all months."].join(" ");
}

/** The content of a figure: the chart and its legend. */
export function profileChart(profile, label, units, isNarrow) {
  const { width, height } = isNarrow ? NARROW : WIDE;
  const step = (width - LEFT - RIGHT) / 12;
  const bar = Math.round(step * 0.6);
  const cap = isNarrow ? 2.5 : 4;
  const x = (month) => Math.round(LEFT + (month + 0.5) * step);
  const eto = profile.months.map((month) => drawn(month.etoMm, units));
  const rain = profile.months.map((month) => drawn(month.rainMm, units));
  const etoSe = profile.months.map((month) => drawn(month.etoSeMm, units));
  const rainSe = profile.months.map((month) => drawn(month.rainSeMm, units));
  const greatest = Math.max(
    0.1,
    ...eto.map((value, m) => value + etoSe[m]),
    ...rain.map((value, m) => value + rainSe[m]),
  );
  const gridStep = roundStep(greatest);
  const top = Math.ceil(greatest / gridStep - 1e-9) * gridStep;
  const y = (value) => TOP + (height - TOP - BOTTOM) * (1 - value / top);
  const bars = profile.months.flatMap((month, m) => [
    rain[m] === null
      ? null
      : svg("rect", {
          class: "rain",
          x: x(m) - bar / 2,
          y: y(rain[m]).toFixed(1),
          width: bar,
          height: (y(0) - y(rain[m])).toFixed(1),
        }),
    rain[m] === null || rainSe[m] === null
      ? null
      : whisker(x(m) - bar / 4, y, rain[m] - rainSe[m], rain[m] + rainSe[m], cap, "of-rain"),
    svg(
      "text",
      { class: "month", x: x(m), y: height - 8, "text-anchor": "middle" },
      month.name.slice(0, isNarrow ? 1 : 3),
    ),
  ]);
  const points = profile.months.flatMap((month, m) =>
    eto[m] === null
      ? []
      : [
          etoSe[m] === null ? null : whisker(x(m), y, eto[m] - etoSe[m], eto[m] + etoSe[m], cap, "of-eto"),
          svg("circle", { class: "dot", cx: x(m), cy: y(eto[m]).toFixed(1), r: isNarrow ? 3 : 4 }),
        ],
  );
  return [
    svg(
      "svg",
      { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-labelledby": "chart-title chart-text" },
      svg("title", { id: "chart-title" }, `${label} and rain by month (${depthUnit(units)}).`),
      svg("desc", { id: "chart-text" }, summary(profile, label, units)),
      svg(
        "defs",
        {},
        svg(
          "pattern",
          { id: "hatch", width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
          svg("path", { class: "hatch", d: "M0 0V5" }),
        ),
      ),
      gridLines(gridStep, top, width - RIGHT, y, units),
      bars,
      svg("path", { class: "eto", d: linePath(eto, x, y) }),
      points,
    ),
    legend(label, profile.hasErrors),
  ];
}
