#include <algorithm>
#include <vector>

#include "builder/publish/report_sections.hpp"
#include "builder/publish/report_text.hpp"
#include "schema/text/html_text.hpp"
#include "schema/tile/method.hpp"

namespace thirstline {

namespace {

bool is_tall(const SiteParts& parts) {
    return parts.provenance.reference == "tall";
}

bool has_stations(const ReportMatter& matter) {
    return !matter.stations.empty();
}

template <class Predicate>
bool any_point(const SiteParts& parts, Predicate predicate) {
    return std::ranges::any_of(parts.survey.points_by_method, [&](const auto& entry) {
        return predicate(method_of_code(entry.first));
    });
}

/// "penman-monteith, wind interpolated from nearby".
std::string method_words(std::uint16_t code) {
    const Method method = method_of_code(code);
    std::string words;
    switch (method.equation) {
        case EtoEquation::penman_monteith:
            words = "Penman–Monteith";
            break;
        case EtoEquation::grid_of_eto:
            words = "A grid of reference ET";
            break;
        default:
            words = "Hargreaves–Samani";
    }
    const std::string note = method_note(method);
    if (!note.empty()) words += ", " + note;
    if (method.correction == SiteCorrection::not_done_rain_unknown ||
        method.correction == SiteCorrection::not_done_grid_of_eto)
        words += "; site correction: " + site_correction_text(method.correction);
    return words;
}

std::string methods_table(const SiteParts& parts) {
    if (parts.survey.points_by_method.empty()) return {};
    std::string html =
        "<table><caption>Points by the method of their least certain month</caption><thead><tr>" +
        element("th", "Method") + element("th", "Points") + element("th", "Share") +
        "</tr></thead><tbody>\n";
    for (const auto& [code, points] : parts.survey.points_by_method) {
        const double share =
            100.0 * static_cast<double>(points) / static_cast<double>(parts.survey.points);
        html += "<tr>" + element("th", method_words(code)) +
                element("td", counted_text(points), "number") +
                element("td", share < 0.1 ? "< 0.1 %" : fixed_text(share, 1) + " %", "number") +
                "</tr>\n";
    }
    return html + "</tbody></table>\n";
}

std::vector<std::string> steps(const SiteParts& parts, const ReportMatter& matter) {
    std::vector<std::string> steps;
    if (has_stations(matter)) {
        steps.emplace_back(
            "Grids and stations are joined variable by variable: what the stations say besides the "
            "grids is carried to every point by simple kriging of the residuals, less with growing "
            "distance; temperature is carried from the grid's cell to the point's elevation.");
    } else {
        steps.emplace_back(
            "Each point takes the grids' values around it; temperature and humidity are carried "
            "from the cell's mean elevation to the point's.");
    }
    const bool is_computed =
        any_point(parts, [](const Method& m) { return m.equation != EtoEquation::grid_of_eto; });
    if (any_point(parts,
                  [](const Method& m) { return m.equation == EtoEquation::penman_monteith; })) {
        steps.emplace_back(
            is_tall(parts)
                ? "Reference evapotranspiration of the tall surface (alfalfa of 0.5 m): the "
                  "Penman–Monteith equation, ASCE-EWRI 2005, equation 1."
                : "Reference evapotranspiration of the short surface (clipped grass of 0.12 m): "
                  "the Penman–Monteith equation, FAO Irrigation and Drainage Paper 56 (1998), "
                  "equation 6, which is ASCE-EWRI 2005, equation 1, for that surface.");
        steps.emplace_back(
            "Its parts, all of FAO-56: saturation vapour pressure by equation 11, air pressure and "
            "psychrometric constant by 7 and 8, extraterrestrial radiation and daylight by 21 to "
            "25 and 34, net radiation by 37 to 40, wind at 2 m by 47 and not below 0.5 m/s.");
        steps.emplace_back(
            parts.provenance.soil_heat_flux == "none"
                ? "Soil heat flux is left out: a month is the sum of its days, as weather networks "
                  "and schedulers have it."
                : "Soil heat flux by FAO-56 equations 43 and 44, the monthly equation as printed.");
    }
    if (any_point(parts, [](const Method& m) { return m.radiation != RadiationFrom::given; }))
        steps.emplace_back(
            "Radiation that was not given: from sunshine or cloud by FAO-56 equation 35, from the "
            "daily range of temperature by equation 50.");
    if (any_point(parts, [](const Method& m) {
            return m.equation == EtoEquation::hargreaves ||
                   m.equation == EtoEquation::hargreaves_scaled;
        }))
        steps.emplace_back(
            "Where nothing but temperature is known: Hargreaves and Samani 1985, FAO-56 "
            "equation 52.");
    if (parts.provenance.site_correction == "reference" && is_computed)
        steps.emplace_back(
            "Site correction: weather stations stand in drier, hotter places than what is watered. "
            "In dry months temperature and humidity are carried part of the way to a well-watered "
            "surface, after FAO-56, annex 6. The temperatures that are shown are uncorrected.");
    if (std::ranges::any_of(parts.map.layers, [](const MapLayer& layer) {
            return layer.id == "eto_se_year_percent";
        }))
        steps.emplace_back(
            "The standard error, shown as ±, comes from stations that were left out and estimated "
            "from the rest: nine times in ten the true normal lies within 1.6 of them. The map "
            "shows it for the year as if all months erred alike, which is the most it can be.");
    steps.emplace_back(
        "Months are means of the period named; February has 28.25 days. Between points a site's "
        "answer is interpolated from the four around it, in whole numbers, so that the page, the "
        "downloads and the programs give the same digits.");
    return steps;
}

}  // namespace

std::string methods_html(const SiteParts& parts, const ReportMatter& matter) {
    return section_html("How they were computed",
                        bulleted(steps(parts, matter)) + methods_table(parts));
}

std::string caveats_html(const SiteParts& parts, const ReportMatter& matter) {
    std::vector<std::string> caveats{
        "Local watering rules come first. Backflow, electrical and pump work belongs to licensed "
        "people.",
        "A normal is not a forecast: it is the mean of many years and holds no variation from year "
        "to year. Watch the plants and the soil, and let them correct the numbers.",
        "Rain is all precipitation, snow's water included, not what reaches the roots."};
    if (parts.provenance.site_correction == "reference")
        caveats.emplace_back(
            "The site correction is an estimate. For weather as measured, build without it.");
    if (matter.stations.empty())
        caveats.emplace_back(
            "No station is behind these numbers: they rest on grids alone, and nothing is said of "
            "their error.");
    std::int32_t reach_m = 0;
    for (const Lattice& lattice : matter.lattices) reach_m = std::max(reach_m, lattice.reach_m);
    caveats.emplace_back("Beyond the points, and farther than " + fixed_text(reach_m / 1000.0, 0) +
                         " km from the nearest, there is no answer rather than a guess.");
    return section_html("What to keep in mind", bulleted(caveats));
}

}  // namespace thirstline
