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
        "<table><caption>Points by the least certain method of their twelve "
        "months</caption><thead><tr>" +
        element("th", "Method") + element("th", "Points") + element("th", "Share") +
        "</tr></thead><tbody>\n";
    for (const auto& [code, points] : parts.survey.points_by_method) {
        const double share =
            100.0 * static_cast<double>(points) / static_cast<double>(parts.survey.points);
        html += "<tr>" + element("th", method_words(code)) +
                element("td", counted_text(points), "number") +
                element("td", share < 0.1 ? "< 0.1%" : fixed_text(share, 1) + "%", "number") +
                "</tr>\n";
    }
    return html + "</tbody></table>\n";
}

std::vector<std::string> steps(const SiteParts& parts, const ReportMatter& matter) {
    std::vector<std::string> steps;
    if (has_stations(matter)) {
        steps.emplace_back(
            "Grids and stations are combined variable by variable: station-minus-grid residuals "
            "are "
            "interpolated by simple kriging and added to the grid, with a weight that decreases "
            "with distance. Temperature is adjusted from the grid cell's elevation to the "
            "point's.");
    } else {
        steps.emplace_back(
            "Each point is interpolated from the grid cells around it; temperature and humidity "
            "are adjusted from the cells' mean elevation to the point's.");
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
            "Its components, all from FAO-56: saturation vapor pressure by equation 11, air "
            "pressure and "
            "psychrometric constant by 7 and 8, extraterrestrial radiation and daylight by 21 to "
            "25 and 34, net radiation by 37 to 40, wind at 2 m by 47 and not below 0.5 m/s.");
        steps.emplace_back(
            parts.provenance.soil_heat_flux == "none"
                ? "Soil heat flux is omitted: monthly values are sums of days, as weather networks "
                  "and schedulers use them."
                : "Soil heat flux by FAO-56 equations 43 and 44, the monthly equation as printed.");
    }
    if (any_point(parts, [](const Method& m) { return m.radiation != RadiationFrom::given; }))
        steps.emplace_back(
            "Radiation where it is not measured: from sunshine by FAO-56 equation 35; from cloud "
            "cover by the table of FAO Irrigation and Drainage Paper 24, then equation 35; from "
            "the "
            "daily temperature range by equation 50.");
    if (any_point(parts, [](const Method& m) {
            return m.equation == EtoEquation::hargreaves ||
                   m.equation == EtoEquation::hargreaves_scaled;
        }))
        steps.emplace_back(
            "Where only temperature is known: Hargreaves and Samani 1985, FAO-56 equation 52.");
    if (parts.provenance.site_correction == "reference" && is_computed)
        steps.emplace_back(
            "Correction for non-reference stations, after FAO-56 Annex 6: in dry months "
            "temperature "
            "and dew point are moved part of the way to irrigated conditions. The 3 °C limit, the "
            "dryness weight and the 5 °C threshold are Thirstline's own. The temperatures "
            "shown are uncorrected.");
    if (std::ranges::any_of(parts.map.layers, [](const MapLayer& layer) {
            return layer.id == "eto_se_year_percent";
        }))
        steps.emplace_back(
            "The standard error, shown as ±, is calibrated by cross-validation: the 90% interval "
            "is "
            "±1.645 standard errors. The map shows the annual error assuming fully correlated "
            "monthly errors (upper bound).");
    steps.emplace_back(
        "Monthly values are means over the period; February has 28.25 days. Between points, values "
        "are interpolated from the four surrounding points in integer arithmetic, so that the "
        "page, "
        "the downloads and the programs give identical digits.");
    return steps;
}

}  // namespace

std::string methods_html(const SiteParts& parts, const ReportMatter& matter) {
    return section_html("Methods", bulleted(steps(parts, matter)) + methods_table(parts));
}

std::string caveats_html(const SiteParts& parts, const ReportMatter& matter) {
    std::vector<std::string> caveats{
        "Local watering rules come first. Backflow prevention, electrical and pump work must be "
        "done by licensed contractors where the law requires it.",
        "A normal is not a forecast: it is a long-term mean without year-to-year variation. Check "
        "plants and soil, and adjust.",
        "Rain is total precipitation, including snow water equivalent; it is not effective rain."};
    if (parts.provenance.site_correction == "reference")
        caveats.emplace_back(
            "The site correction is an estimate. For weather as measured, build without it.");
    if (matter.stations.empty())
        caveats.emplace_back(
            "These values are from grids alone, without stations; no error is given.");
    std::int32_t reach_m = 0;
    for (const Lattice& lattice : matter.lattices) reach_m = std::max(reach_m, lattice.reach_m);
    caveats.emplace_back("No values are given farther than " + fixed_text(reach_m / 1000.0, 0) +
                         " km from the nearest grid point.");
    return section_html("Limitations and cautions", bulleted(caveats));
}

}  // namespace thirstline
