#include "lookup/site_output/site_words.hpp"

#include "lookup/site_output/place_text.hpp"
#include "lookup/site_output/site_table.hpp"
#include "schema/base/words.hpp"

namespace thirstline {
namespace {

/// The data's height is not the site's: in hills the two may be far apart, and ETo with them.
std::string height_sentence(double data_elevation_m, const SiteReport& report,
                            const TextStyle& style) {
    const std::string of_data = height_text(data_elevation_m, style);
    if (report.query.elevation_m) {
        return "Carried from " + of_data + ", the height of the data, to " +
               height_text(data_elevation_m + report.profile.point.shifted_by_m, style) + ".";
    }
    return "For " + of_data +
           " above the sea, the mean height of the data here. If the site lies at another, give "
           "--elevation.";
}

std::string equation_words(EtoEquation equation, bool tall) {
    switch (equation) {
        case EtoEquation::grid_of_eto:
            return "as a published grid has it";
        case EtoEquation::penman_monteith:
            return tall ? "by Penman-Monteith (ASCE-EWRI 2005)" : "by Penman-Monteith (FAO-56)";
        case EtoEquation::hargreaves_scaled:
        case EtoEquation::hargreaves:
            return "by Hargreaves-Samani";
    }
    return "";
}

std::string reference_words(bool tall) {
    return tall ? "ETr is the water that a tall, well-watered reference crop (alfalfa) would use"
                : "ETo is the water that a lawn of well-watered reference grass would use";
}

std::string method_sentence(const SiteReport& report) {
    const Method& method = report.profile.point.method;
    const bool tall = report.baseline.reference == "tall";
    std::string out = reference_words(tall) + ", " + equation_words(method.equation, tall);
    const std::string note = method_note(method);
    if (!note.empty()) out += ": " + note;
    return out + ".";
}

std::string origin_sentence(const SiteReport& report) {
    const AnsweringPoint& point = report.profile.point;
    std::string out = report.period.empty() ? "Normals" : "Normals of " + report.period;
    out += point.interpolated ? ", interpolated between the points around the site"
                              : ", of the nearest point with data";
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
            return "Site correction: weather stations stand in drier, hotter places than what is "
                   "watered; in dry months temperature and humidity are carried to a well-watered "
                   "surface.";
        case SiteCorrection::not_wanted:
            return "Site correction: none; weather is taken as measured, which in dry places makes "
                   "ETo too high.";
        case SiteCorrection::not_done_rain_unknown:
            return "Site correction: not made in " + months_without_correction(profile) +
                   ", for rain is unknown there; in dry places ETo is then too high.";
        case SiteCorrection::not_done_grid_of_eto:
            return "Site correction: none; a published grid of ETo is taken as it is.";
    }
    return "";
}

std::string uncertainty_sentence(const SiteReport& report, const TextStyle& style) {
    if (!has_standard_errors(report.profile)) return "This file states no standard errors.";
    return std::string(style.utf8 ? "±" : "+-") +
           " is one standard error: nine times in ten the true normal lies within 1.6 of them. "
           "Single years stray further.";
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
        out.push_back("own: your own record, " + report.own->file + " (" +
                      own_values_text(*report.own) + ").");
    }
    return out;
}

std::vector<std::string> about_these_numbers(const SiteReport& report, const TextStyle& style) {
    std::vector<std::string> out = origin_of_numbers(report);
    // Before the own record, which only some answers have.
    out.insert(out.begin() + 3, uncertainty_sentence(report, style));
    out.emplace_back("Rain is all precipitation, snow's water included.");
    out.emplace_back("A normal is the mean of many years, not a forecast.");
    return out;
}

}  // namespace thirstline
