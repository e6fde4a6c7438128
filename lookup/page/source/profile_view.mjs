// A site's answer on the page: the year's figures, the chart, the table, and notes on them.
import { contactLink, element, list, localLink, webLink } from "./elements.mjs";
import { profileChart } from "./profile_chart.mjs";
import { aboutTheseNumbers, etoLabel, placeName, placeSentences, sourceGroups } from "./site_words.mjs";
import { tableRows, yearCell } from "./table_rows.mjs";
import { depthText, depthUnit } from "./units.mjs";

function monthTable(profile, baseline, units) {
  const heading = (text, more = {}) => element("th", { scope: "col", ...more }, text);
  const row = (cells, isPeak) =>
    element(
      "tr",
      { class: isPeak ? "peak" : null },
      element(
        "th",
        { scope: "row" },
        cells[0] === "Year" ? "Year" : element("abbr", { title: cells[0] }, cells[0].slice(0, 3)),
      ),
      cells.slice(1).map((text, at) => element("td", { class: [1, 3].includes(at) ? "error" : null }, text)),
    );
  const rows = tableRows(profile, units);
  return element(
    "table",
    { class: "months" },
    element("caption", {}, `${etoLabel(baseline)} and rain, ${units === "us" ? "in" : "mm"}/month`),
    element(
      "thead",
      {},
      element(
        "tr",
        {},
        heading("Month"),
        heading(etoLabel(baseline)),
        heading("±", { "aria-label": `standard error of ${etoLabel(baseline)}` }),
        heading("Rain"),
        heading("±", { "aria-label": "standard error of rain" }),
        heading("% of peak"),
      ),
    ),
    element(
      "tbody",
      {},
      rows.slice(0, 12).map((cells, at) => row(cells, profile.months[at] === profile.peak)),
    ),
    element("tfoot", {}, row(rows[12], false)),
  );
}

function yearFigures(profile, baseline, units) {
  const unit = depthUnit(units);
  const label = etoLabel(baseline);
  const figure = (what, value, unitText) =>
    element(
      "div",
      {},
      element("dt", {}, what),
      element("dd", {}, value, element("span", { class: "unit" }, ` ${unitText}`)),
    );
  const figures = [];
  if (profile.annualEtoMm) figures.push(figure(`Annual ${label}`, yearCell(profile.annualEtoMm, units), unit));
  if (profile.annualRainMm) figures.push(figure("Annual rain", yearCell(profile.annualRainMm, units), unit));
  if (profile.peak) {
    figures.push(
      figure("Peak month", profile.peak.name, `${depthText(profile.peak.etoMmPerDay, units, 1)} ${unit}/day`),
    );
  } else {
    figures.push(element("div", {}, element("dt", {}, `${label} is zero in every month.`)));
  }
  return element("dl", { class: "year-figures" }, figures);
}

/** The section of one site; `tools` are shown next to its name. */
export function answerView({ site, answer, profile, baseline, units, isNarrow, tools }) {
  return [
    element("div", { class: "title" }, element("h2", { id: "place", tabindex: "-1" }, placeName(site)), tools),
    element("p", { class: "note" }, placeSentences(site, answer, profile, units).join(" ")),
    yearFigures(profile, baseline, units),
    element(
      "div",
      { class: "year" },
      element("figure", {}, profileChart(profile, etoLabel(baseline), units, isNarrow)),
      element("div", { class: "table" }, monthTable(profile, baseline, units)),
    ),
    baseline.notice === "" ? null : element("p", { class: "notice" }, baseline.notice),
  ].filter((node) => node !== null);
}

export function aboutView({ answer, profile, baseline }) {
  const sources = sourceGroups(baseline.sources).map(({ names, terms }) =>
    element(
      "li",
      {},
      names.flatMap(({ name, url }, at) => [at === 0 ? "" : "; ", webLink(name, url)]),
      terms,
    ),
  );
  return [
    element("h2", {}, "About these numbers"),
    list(aboutTheseNumbers(baseline, answer, profile)),
    element("h2", {}, "Sources"),
    element("ul", {}, sources),
  ];
}

/** Who is responsible, and for which edition: below the title. */
export function publisherView({ publisher, edition, date, contact }) {
  const day = date && element("span", { class: "whole" }, date);
  const dated = [edition && `Edition ${edition}`, edition && date && ", ", day].filter(Boolean);
  const parts = [
    publisher && [`Published by ${publisher}`],
    dated.length > 0 && dated,
    contact && ["Contact: ", contactLink(contact)],
  ];
  return parts.filter(Boolean).flatMap((part, at) => (at === 0 ? part : [" · ", ...part]));
}

export function footerView(baseline) {
  const megabytes = (bytes) =>
    bytes < 1_000_000 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`;
  const downloads = baseline.downloads.map(({ name, form, bytes, sha256 }) =>
    element(
      "li",
      {},
      localLink(form, name),
      ` (${megabytes(bytes)})`,
      element("code", { class: "sum" }, `SHA-256 ${sha256}`),
    ),
  );
  return [
    element(
      "p",
      {},
      `Baseline: ${baseline.title}. `,
      ...(baseline.doi === undefined ? [] : ["DOI: ", webLink(baseline.doi, `https://doi.org/${baseline.doi}`), ". "]),
      baseline.licence === undefined ? "" : `License: ${baseline.licence}. `,
      localLink("How it was made and checked", baseline.report),
      ".",
    ),
    downloads.length === 0
      ? null
      : element("details", {}, element("summary", {}, "Download the data"), element("ul", {}, downloads)),
    element("p", { class: "sum" }, `Content ${baseline.content_sha256}, by ${baseline.program}`),
    baseline.signing_key
      ? element(
          "p",
          { class: "sum" },
          `Signed with the key ${baseline.signing_key}; compare it with the one that the publisher states elsewhere.`,
        )
      : null,
  ].filter((node) => node !== null);
}
