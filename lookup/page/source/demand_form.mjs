// The few values that the page asks for a zone, and the command's options for them.
import { element } from "./elements.mjs";

const DAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
const SOILS = [
  "clay",
  "silty clay",
  "sandy clay",
  "silty clay loam",
  "clay loam",
  "sandy clay loam",
  "silt",
  "silt loam",
  "loam",
  "sandy loam",
  "loamy sand",
  "sand",
];
const OTHER_PLANTING = "other";

/** Options by the unit selected next to the number. */
const UNITS = {
  area: { metric: ["area-m2", "m²"], us: ["area-ft2", "square feet"] },
  rate: { metric: ["rate-mm-per-h", "mm/h"], us: ["rate-in-per-h", "in/hr"] },
};
const FIELD_NAMES = {
  planting: "Planting",
  "plant-factor": "Plant factor",
  efficiency: "Efficiency",
  soil: "Soil",
  "allowed-days": "Allowed days",
  "area-m2": "Area",
  "area-ft2": "Area",
  "rate-mm-per-h": "Precipitation rate",
  "rate-in-per-h": "Precipitation rate",
};

const field = (id, label, control, hint = "") => {
  if (hint !== "") control.setAttribute("aria-describedby", `${id}-hint`);
  return element(
    "div",
    { class: "field" },
    element("label", { for: id }, label),
    control,
    hint === "" ? null : element("p", { class: "note", id: `${id}-hint` }, hint),
  );
};
const input = (id, more = {}) =>
  element("input", { id, name: id, type: "text", inputmode: "decimal", autocomplete: "off", maxlength: 20, ...more });
const select = (id, options, chosen, more = {}) =>
  element(
    "select",
    { id, name: id, ...more },
    options.map(([value, text]) => element("option", { value, selected: value === chosen }, text)),
  );

/** A number, with its unit next to it. */
function measure(id, label, units, hint) {
  const choices = Object.entries(UNITS[id]).map(([value, [, text]]) => [value, text]);
  return element(
    "div",
    { class: "field" },
    element("label", { for: id }, label),
    element(
      "div",
      { class: "measure" },
      input(id, { "aria-describedby": `${id}-hint` }),
      select(`${id}-unit`, choices, units, { "aria-label": `Unit of ${label.toLowerCase()}` }),
    ),
    element("p", { class: "note", id: `${id}-hint` }, hint),
  );
}

function daysField() {
  const rules = [
    ["", "any day"],
    ["odd", "odd dates"],
    ["even", "even dates"],
    ["named", "only:"],
  ];
  const rule = ([value, text]) =>
    element("label", {}, element("input", { type: "radio", name: "days-rule", value, checked: value === "" }), text);
  const day = (name) => element("label", {}, element("input", { type: "checkbox", name: "day", value: name }), name);
  return element(
    "fieldset",
    { class: "field wide" },
    element("legend", {}, "Days on which local rules allow watering"),
    element("div", { class: "options" }, rules.map(rule), element("span", { class: "days" }, DAYS.map(day))),
  );
}

/** The form, with the default units for a reader of `units`. */
export function demandForm(units) {
  const factor = field(
    "plant-factor",
    "Plant factor",
    input("plant-factor"),
    "Plant water use as a fraction of ETo: shrubs about 0.5, low-water plants 0.3.",
  );
  factor.hidden = true;
  const form = element(
    "form",
    { id: "zone", novalidate: true, autocomplete: "off" },
    element(
      "div",
      { class: "fields" },
      field(
        "planting",
        "Planting",
        select(
          "planting",
          [
            ["cool turf", "cool-season turf"],
            ["warm turf", "warm-season turf"],
            [OTHER_PLANTING, "other plants"],
          ],
          "cool turf",
        ),
      ),
      factor,
      measure("area", "Area", units, "Planted area of this zone."),
      measure("rate", "Precipitation rate", units, "From a catch-can test or the nozzle's chart."),
      field("efficiency", "Efficiency", input("efficiency"), "Application efficiency, e.g. 0.70; blank = default."),
      field("soil", "Soil", select("soil", [["", "not known"], ...SOILS.map((soil) => [soil, soil])], "")),
      daysField(),
    ),
    element("button", { type: "submit", class: "chief" }, "Calculate schedule"),
  );
  form.addEventListener("change", ({ target }) => {
    if (target.id === "planting") factor.hidden = target.value !== OTHER_PLANTING;
    // Ticking a day means that only the ticked days are allowed.
    if (target.name === "day" && target.checked) form.querySelector("[name=days-rule][value=named]").checked = true;
  });
  return form;
}

/** The command's options, in the form that page_core takes. */
export function zoneOptions(form) {
  const data = new FormData(form);
  const text = (name) => String(data.get(name) ?? "");
  const zone =
    text("planting") === OTHER_PLANTING ? { "plant-factor": text("plant-factor") } : { planting: text("planting") };
  for (const name of ["area", "rate"]) zone[UNITS[name][text(`${name}-unit`)][0]] = text(name);
  zone.efficiency = text("efficiency");
  zone.soil = text("soil");
  zone["allowed-days"] = text("days-rule") === "named" ? data.getAll("day").join(",") : text("days-rule");
  return zone;
}

/** A message if the form is not complete, before the command's own checks; else empty. */
export function missingInForm(zone) {
  if (zone["plant-factor"]?.trim() === "") return "Enter the plant factor: plant water use as a fraction of ETo.";
  for (const [name, label] of [
    ["area", "Area"],
    ["rate", "Precipitation rate"],
  ]) {
    if (Object.entries(zone).some(([option, value]) => option.startsWith(`${name}-`) && value.trim() === ""))
      return `${label}: this number is needed.`;
  }
  return "";
}

/** The command's sentence about options, with the fields' names instead. */
export function faultInWords(message) {
  const words = message.replace(/--([a-z0-9-]+)/g, (option, name) => FIELD_NAMES[name] ?? option);
  return `${words[0].toUpperCase()}${words.slice(1)}.`;
}
