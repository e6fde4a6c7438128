#include "lookup/site_output/site_words.hpp"

#include "lookup/site_output/place_text.hpp"
#include "lookup/site_output/site_table.hpp"
#include "schema/base/words.hpp"

namespace thirstline {
namespace {

/// The data's elevation is not the site's: in hilly terrain both may differ much, and ETo with
/// them.
std::string height_sentence(double data_elevation_m, const SiteReport& report,
                            const TextStyle& style) {
    const std::string of_data = height_text(data_elevation_m, style);
    if (report.query.elevation_m) {
        return "Adjusted from " + of_data + " to " +
               height_text(data_elevation_m + report.profile.point.shifted_by_m, style) + ".";
    }
    return "Elevation of the data: " + of_data + ". If your site's differs, use --elevation.";
}

std::string equation_words(EtoEquation equation, bool tall) {
    switch (equation) {
        case EtoEquation::grid_of_eto:
            return "published ETo grid";
        case EtoEquation::penman_monteith:
            return tall ? "ASCE-EWRI 2005 Penman-Monteith" : "FAO-56 Penman-Monteith";
        case EtoEquation::hargreaves_scaled:
        case EtoEquation::hargreaves:
            return "Hargreaves-Samani";
    }
    return "";
}

std::string reference_words(bool tall) {
    return tall ? "ETr: reference evapotranspiration of a tall, well-watered crop (alfalfa)"
                : "ETo: reference evapotranspiration of well-watered, clipped grass";
}

std::string method_sentence(const SiteReport& report) {
    const Method& method = report.profile.point.method;
    const bool tall = report.baseline.reference == "tall";
    std::string out = reference_words(tall) + ", " + equation_words(method.equation, tall);
    const std::string note = method_note(method);
    if (!note.empty()) out += "; " + note;
    return out + ".";
}

std::string origin_sentence(const SiteReport& report) {
    const AnsweringPoint& point = report.profile.point;
    std::string out = report.period.empty() ? "Normals" : "Normals of " + report.period;
    out += point.interpolated ? ", interpolated from the surrounding grid points"
                              : ", from the nearest grid point with data";
    return out + ".";
}

/// "Aug", "Jan, Feb", or "any month"
std::string months_without_correction(const SiteProfile& profile) {
    std::string list;
    int count = 0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (profile.months[month].method.correction != SiteCorrection::not_done_rain_unknown)
            continue;
        add_word(list, kMonthAbbreviations[month]);
        ++count;
    }
    return count == kMonths ? "any month" : list;
}

std::string correction_sentence(const SiteProfile& profile) {
    switch (profile.point.method.correction) {
        case SiteCorrection::reference:
            return "Site correction: most weather stations are drier and hotter than irrigated "
                   "sites. In dry months temperature and dew point are moved part of the way to "
                   "irrigated conditions (after FAO-56 Annex 6; the limit of 3 degrees C and the "
                   "weight by dryness are this project's).";
        case SiteCorrection::not_wanted:
            return "Site correction: none. Weather is used as measured, which tends to overstate "
                   "ETo in dry areas.";
        case SiteCorrection::not_done_rain_unknown:
            return "Site correction: none in " + months_without_correction(profile) +
                   ", because rain is unknown; this tends to overstate ETo in dry areas.";
        case SiteCorrection::not_done_grid_of_eto:
            return "Site correction: none; the published ETo grid is used unchanged.";
    }
    return "";
}

std::string uncertainty_sentence(const SiteReport& report, const TextStyle& style) {
    if (!has_standard_errors(report.profile)) return "This file has no standard errors.";
    const std::string plus_minus = style.utf8 ? "±" : "+-";
    return plus_minus + " is one standard error of the normal; the 90% interval is " + plus_minus +
           "1.645 standard errors. Single years vary more.";
}

}  // namespace

std::string place_name(const SiteQuery& query) {
    if (!query.postal) return {};
    const std::string code = query.country.value_or("") + " " + *query.postal;
    return query.place.empty() ? code : query.place + ", " + code;
}

std::vector<std::string> site_heading(const SiteReport& report, const TextStyle& style) {
    const AnsweringPoint& point = report.profile.point;
    std::vector<std::string> out;
    if (report.query.postal) out.push_back(place_name(report.query));
    out.push_back(position_text(report.query.position.value_or(point.at)));
    if (!point.interpolated) {
        out.push_back("Nearest point with data: " + distance_text(point.distance_km, style) +
                      " away, at " + position_text(point.at));
    }
    if (point.elevation_m) out.push_back(height_sentence(*point.elevation_m, report, style));
    return out;
}

std::vector<std::string> origin_of_numbers(const SiteReport& report) {
    std::vector<std::string> out{method_sentence(report), origin_sentence(report),
                                 correction_sentence(report.profile)};
    if (report.own) {
        out.push_back("own: your own monthly data, used in place of the database's, " +
                      report.own->file + " (" + own_values_text(*report.own) + ").");
    }
    return out;
}

std::vector<std::string> about_these_numbers(const SiteReport& report, const TextStyle& style) {
    std::vector<std::string> out = origin_of_numbers(report);
    // Inserted before the own record, which only some answers have.
    out.insert(out.begin() + 3, uncertainty_sentence(report, style));
    out.emplace_back("Rain is total precipitation, including snow water equivalent.");
    out.emplace_back("A normal is the mean of many years, not a forecast.");
    return out;
}

}  // namespace thirstline
