// The panel for a zone's demand: its module is loaded when it is first opened.
import { demandCore, demandRequest } from "./demand_core.mjs";
import { demandForm, faultInWords, missingInForm, zoneOptions } from "./demand_form.mjs";
import { demandView } from "./demand_view.mjs";
import { element } from "./elements.mjs";

/** Returns {show}, to be called when a site is shown or the units have changed. */
export function demandPanel(section, published) {
  let shown = null; // {answer, baseline}
  let units = "metric";
  let zone = null; // of the last demand calculated
  let core = null;
  let form = null;
  const body = element("div", { class: "panel", id: "demand-panel", hidden: true });
  const result = element("div", {
    id: "demand-result",
    tabindex: "-1",
    role: "group",
    "aria-label": "The zone's demand",
  });
  const problem = element("div", { role: "alert" });
  const opener = element(
    "button",
    { type: "button", "aria-expanded": "false", "aria-controls": "demand-panel" },
    "Calculate a zone's water need",
  );
  section.append(
    element("h2", { id: "demand-heading" }, "Irrigation requirement of a zone"),
    element("p", { class: "note" }, "Run times and water for one irrigation zone at this place, month by month."),
    element("p", { class: "ways" }, opener),
    body,
  );

  function refuse(sentence, hint = "") {
    result.replaceChildren();
    problem.replaceChildren(
      element("p", { class: "problem" }, sentence),
      hint === "" ? "" : element("p", { class: "note" }, hint),
    );
  }

  /** Shows the zone's demand, or the reason why there is none. */
  function render() {
    problem.replaceChildren();
    const missing = missingInForm(zone);
    if (missing !== "") return refuse(missing);
    const demand = core(demandRequest(shown.answer, shown.baseline.reference, units, zone));
    if (demand.error) return refuse(faultInWords(demand.error.message), demand.error.hint);
    // Expanded details stay expanded when the units change.
    const isUnfolded = result.querySelector("details")?.open ?? false;
    result.replaceChildren(...demandView(demand));
    result.querySelector("details").open = isUnfolded;
    return undefined;
  }

  function renderOrShowError() {
    try {
      render();
    } catch (error) {
      core = null; // the instance may have ended: start a new one next time
      refuse(`The schedule could not be calculated: ${error.message}.`);
    }
  }

  function open() {
    if (!form) {
      form = demandForm(units);
      form.addEventListener("submit", async (event) => {
        event.preventDefault();
        zone = zoneOptions(form);
        try {
          core ??= await demandCore(await published.demandModule());
          renderOrShowError();
          if (result.hasChildNodes()) result.focus();
        } catch (error) {
          refuse(error.message);
        }
      });
      body.append(form, problem, result);
    }
    body.hidden = false;
    opener.setAttribute("aria-expanded", "true");
    form.elements.planting.focus();
    // Loads while the form is filled in; if that fails, the form's own request reports the error.
    published.demandModule().catch(() => {});
  }

  opener.addEventListener("click", () => {
    if (body.hidden) return open();
    body.hidden = true;
    return opener.setAttribute("aria-expanded", "false");
  });

  return {
    show(site, itsUnits) {
      shown = site;
      units = itsUnits;
      if (core && zone) renderOrShowError();
    },
  };
}
