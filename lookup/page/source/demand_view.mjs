// Shows a zone's demand: the texts come from demand.wasm and are those of the command.
import { element, list } from "./elements.mjs";
import { MONTH_NAMES } from "./site_profile.mjs";

const section = (title, ...content) => [element("h3", {}, title), ...content];

/** The percentages of the zone's program, in the controller's steps. */
function percentages({ programs, peak_need_month: peak }) {
  return element(
    "dl",
    { class: "percents" },
    (programs[0]?.percent ?? []).map((percent, at) =>
      element(
        "div",
        { class: at + 1 === peak ? "peak" : null },
        element("dt", {}, MONTH_NAMES[at].slice(0, 3)),
        element("dd", {}, String(percent)),
      ),
    ),
  );
}

function monthTable({ months, depth_unit: depthUnit, volume_unit: volumeUnit }) {
  const columns = [
    ["need", "Plant need"],
    ["rain", "Eff. rain"],
    ["net", "Net"],
    ["gross", "Gross"],
    ["percent", "% of peak"],
    ["days", "Days per week"],
    ["runs", "Cycles × min"],
    ["water", `Water, ${volumeUnit}`],
  ];
  const used = columns.filter(([name]) => months.some((month) => month[name] !== ""));
  return element(
    "div",
    { class: "scroll", tabindex: "0", role: "region", "aria-label": "The zone, month by month" },
    element(
      "table",
      { class: "demand" },
      element("caption", {}, `The zone by month; depths in ${depthUnit === "in" ? "inches" : "mm"}`),
      element(
        "thead",
        {},
        element(
          "tr",
          {},
          element("th", { scope: "col" }, "Month"),
          used.map(([, text]) => element("th", { scope: "col" }, text)),
        ),
      ),
      element(
        "tbody",
        {},
        months.map((month, at) =>
          element(
            "tr",
            {},
            element("th", { scope: "row" }, element("abbr", { title: MONTH_NAMES[at] }, month.month)),
            used.map(([name]) => element("td", {}, month[name])),
          ),
        ),
      ),
    ),
  );
}

function yearTable(year) {
  return element(
    "dl",
    { class: "year-water" },
    year.map(({ what, water, cost }) =>
      element("div", {}, element("dt", {}, what), element("dd", {}, cost === "" ? water : `${water}, ${cost}`)),
    ),
  );
}

const paragraphs = (texts) => texts.filter((text) => text !== "").map((text) => element("p", {}, text));

/** `demand` is page_core's answer. */
export function demandView({ words, cautions, site }) {
  return [
    words.conflicts.length === 0
      ? null
      : element(
          "div",
          { class: "alarm" },
          element("h3", {}, "Some zones get less water than they need"),
          list(words.conflicts),
        ),
    section("Cautions", element("div", { class: "cautions" }, list(cautions))),
    section(
      "Base schedule (peak month = 100%)",
      element("p", { class: "run" }, words.base_run),
      ...paragraphs([words.peak_need, words.rules, ...words.schedule_notes]),
    ),
    section(
      "Seasonal adjustment by month (%)",
      percentages(site),
      ...words.curve.map((text) => element("p", { class: "note" }, text)),
    ),
    monthTable(words),
    section(
      "Water use by year",
      yearTable(words.year),
      ...paragraphs([...words.year_notes, words.rain_shutoff, words.uncertainty]),
    ),
    element(
      "details",
      {},
      element("summary", {}, "Assumptions and defaults (override with site data)"),
      list(words.assumed),
    ),
  ]
    .flat()
    .filter((node) => node !== null);
}
