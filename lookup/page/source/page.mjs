// The page: each question, from the input field, the map, the device or the address, is put into
// the address after "#"; the site in the address is shown.
import { addressOf, askedInAddress } from "./address.mjs";
import { positionOfDegrees, positionOfText } from "./coordinates.mjs";
import { demandPanel } from "./demand_panel.mjs";
import { button, byId, element } from "./elements.mjs";
import { sitesOfPostalCode, sitesOfText } from "./finding.mjs";
import { mapPanel } from "./map_panel.mjs";
import { aboutView, answerView, footerView, publisherView } from "./profile_view.mjs";
import { publication } from "./publication.mjs";
import { siteProfile } from "./site_profile.mjs";
import { hintText, placeName } from "./site_words.mjs";
import { unitsOfLanguages } from "./units.mjs";
import { UsageError } from "./usage_error.mjs";
import { keepForOffline } from "./offline.mjs";

const published = publication(JSON.parse(byId("site").textContent), (name) => fetch(name));
let units = unitsOfLanguages(navigator.languages ?? []);
const narrowScreen = matchMedia("(max-width: 30rem)");
let shown = null; // {site, answer, profile, baseline}
const demand = demandPanel(byId("demand"), published);
const map = mapPanel(byId("map"), published, (position) => goTo({ position }));
let turn = 0; // number of the question: late answers to earlier ones are dropped

function showProblem(error) {
  const sentence = /[.!?]$/.test(error.message) ? error.message : `This could not be answered: ${error.message}.`;
  byId("problem").replaceChildren(
    element("p", { class: "problem" }, sentence),
    error.hint ? element("p", { class: "note" }, error.hint) : "",
  );
  byId("place-text").setAttribute("aria-invalid", String(error instanceof UsageError));
  byId("status").textContent = "";
}

function clearProblem() {
  byId("problem").replaceChildren();
  byId("choices").replaceChildren();
  byId("place-text").removeAttribute("aria-invalid");
}

/** Runs a user's action; an error is shown as a sentence. */
async function attempt(action) {
  clearProblem();
  const mine = ++turn;
  byId("status").textContent = "Looking it up …";
  try {
    await action(() => mine === turn);
  } catch (error) {
    if (mine === turn) showProblem(error);
  }
}

async function copyLink() {
  history.replaceState(null, "", addressOf(shown.site, units));
  try {
    await navigator.clipboard.writeText(location.href);
    byId("status").textContent = "The link is copied.";
  } catch {
    byId("status").textContent = `The link of this place: ${location.href}`;
  }
}

function unitsSwitch() {
  const choice = (value, text) => {
    const input = element("input", { type: "radio", name: "units", value, checked: units === value });
    input.addEventListener("change", () => {
      units = value;
      history.replaceState(null, "", addressOf(shown.site, units));
      render();
      document.querySelector(`input[name=units][value=${value}]`).focus();
    });
    return element("label", {}, input, text);
  };
  return element(
    "fieldset",
    { class: "units" },
    element("legend", {}, "Units"),
    choice("metric", "mm"),
    choice("us", "inches"),
  );
}

function render() {
  const tools = element(
    "div",
    { class: "tools" },
    unitsSwitch(),
    button("Copy link", copyLink),
    button("Print", () => window.print()),
  );
  byId("answer").replaceChildren(...answerView({ ...shown, units, isNarrow: narrowScreen.matches, tools }));
  byId("about").replaceChildren(...aboutView(shown));
  demand.show(shown, units);
  map.show(shown.site, units);
  for (const id of ["answer", "demand", "about"]) byId(id).hidden = false;
}

/** Looks up a site and shows it, with the focus on its name. */
async function show(site, isCurrent, isAsked) {
  const [baseline, answer] = await Promise.all([published.baseline(), published.answerAt(site.position)]);
  if (!isCurrent()) return;
  if (answer === null) {
    throw new UsageError(
      `${placeName(site)} is outside the area covered.`,
      baseline.region === "" ? "" : `This page covers ${baseline.region}.`,
    );
  }
  shown = { site, answer, profile: siteProfile(answer), baseline };
  render();
  byId("status").textContent = "";
  document.title = `${placeName(site)} – ${baseline.title}`;
  if (isAsked) byId("place").focus();
  keepForOffline();
}

function hideAnswer() {
  shown = null;
  for (const id of ["answer", "demand", "about"]) byId(id).hidden = true;
}

/** Shows the site in the address. */
async function showAddress(isCurrent, isAsked) {
  const asked = askedInAddress(location.hash);
  units = asked.units ?? units;
  if (asked.code) {
    const sites = await sitesOfPostalCode(published, asked.code, asked.country);
    if (!isCurrent()) return;
    if (sites.length === 0)
      throw new UsageError(`This page has no postal code ${asked.country} ${asked.code}.`.replace("  ", " "));
    if (sites.length > 1) offer(sites);
    else await show(sites[0], isCurrent, isAsked);
  } else if (asked.at) {
    await show({ position: positionOfText(asked.at) }, isCurrent, isAsked);
  } else {
    hideAnswer();
    byId("status").textContent = "";
  }
}

/** Puts a site into the address, which then shows it. */
function goTo(site) {
  const address = addressOf(site, units);
  if (address === location.hash) attempt((isCurrent) => showAddress(isCurrent, true));
  else location.hash = address;
}

function offer(sites) {
  byId("status").textContent = "";
  byId("choices").replaceChildren(
    element("p", { id: "choices-heading" }, "Several places have this code. Select one:"),
    element(
      "ul",
      { "aria-labelledby": "choices-heading", class: "choices" },
      sites.map((site) =>
        element(
          "li",
          {},
          button(placeName(site), () => goTo(site)),
        ),
      ),
    ),
  );
  byId("choices").querySelector("button").focus();
}

byId("find").addEventListener("submit", (event) => {
  event.preventDefault();
  attempt(async (isCurrent) => {
    hideAnswer();
    const sites = await sitesOfText(published, byId("place-text").value);
    if (!isCurrent()) return;
    if (sites.length > 1) offer(sites);
    else goTo(sites[0]);
  });
});

function devicePosition() {
  return new Promise((resolve, reject) => {
    const refused = "Location unavailable";
    if (!navigator.geolocation) reject(new UsageError(`${refused}.`, "Type a postal code or coordinates instead."));
    else {
      navigator.geolocation.getCurrentPosition(
        // Rounded to about eleven metres, which is sufficient, before it goes into the address.
        ({ coords }) =>
          resolve(positionOfDegrees(Number(coords.latitude.toFixed(4)), Number(coords.longitude.toFixed(4)))),
        (error) =>
          reject(
            new UsageError(
              `${refused}${error.code === 1 ? ": permission was denied" : " now"}.`,
              "Type a postal code or coordinates instead.",
            ),
          ),
        { timeout: 20_000, maximumAge: 600_000 },
      );
    }
  });
}

byId("device").addEventListener("click", () =>
  attempt(async (isCurrent) => {
    const position = await devicePosition();
    if (isCurrent()) goTo({ position });
  }),
);

narrowScreen.addEventListener("change", () => shown && render());
byId("map-toggle").addEventListener("click", async () => {
  const holder = byId("map");
  holder.hidden = !holder.hidden;
  byId("map-toggle").setAttribute("aria-expanded", String(!holder.hidden));
  if (holder.hidden) return;
  try {
    await map.open();
    if (shown) map.show(shown.site, units);
  } catch (error) {
    holder.hidden = true;
    byId("map-toggle").setAttribute("aria-expanded", "false");
    showProblem(error);
  }
});

window.addEventListener("hashchange", () => attempt((isCurrent) => showAddress(isCurrent, true)));

async function begin() {
  published.readerIsWanted();
  const baseline = await published.baseline();
  if (baseline.region !== baseline.title) byId("region").textContent = baseline.region;
  byId("place-hint").textContent = hintText(baseline);
  byId("publisher").replaceChildren(...publisherView(baseline));
  byId("footer").replaceChildren(...footerView(baseline));
  await showAddress(() => turn === 0, false);
}
begin().catch(showProblem);
