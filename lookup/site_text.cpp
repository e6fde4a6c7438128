#include "lookup/site_text.hpp"

#include <algorithm>
#include <cstdlib>
#include <vector>

#include "lookup/place_text.hpp"
#include "lookup/rounding.hpp"
#include "lookup/site_table.hpp"
#include "lookup/text_wrapping.hpp"

namespace thirstline {
namespace {

std::string paragraph(std::string_view text) {
    return wrapped(text, kTextColumns);
}

std::string item(std::string_view text) {
    return wrapped(text, kTextColumns, "- ", "  ");
}

/// The data's height is not the site's: in hills the two may be far apart, and ETo with them.
std::string height_sentence(const SiteReport& report, const TextStyle& style) {
    const AnsweringPoint& point = report.profile.point;
    if (!point.elevation_m) return {};
    const std::string of_data = height_text(*point.elevation_m, style);
    if (report.query.elevation_m) {
        return paragraph("Carried from " + of_data + ", the height of the data, to " +
                         height_text(*point.elevation_m + point.shifted_by_m, style) + ".");
    }
    return paragraph("For " + of_data +
                     " above the sea, the mean height of the data here. If the site lies at "
                     "another, give --elevation.");
}

std::string heading(const SiteReport& report, const TextStyle& style) {
    const SiteQuery& query = report.query;
    const AnsweringPoint& point = report.profile.point;
    std::string out;
    if (query.postal) {
        const std::string code = query.country.value_or("") + " " + *query.postal;
        out += paragraph(query.place.empty() ? code : query.place + ", " + code);
    }
    out += paragraph(position_text(query.position.value_or(point.at)));
    if (!point.interpolated) {
        out += paragraph("Nearest point with data: " + distance_text(point.distance_km, style) +
                         " away, at " + position_text(point.at));
    }
    return out + height_sentence(report, style);
}

std::string caption(const SiteReport& report, const TextStyle& style) {
    return paragraph(eto_label(report.baseline) + " and rain in " +
                     (style.units == UnitSystem::us ? "inches" : "millimetres") + " a month");
}

std::string peak_sentence(const SiteReport& report, const TextStyle& style) {
    const std::string label = eto_label(report.baseline);
    const auto peak = report.profile.peak_month;
    if (!peak) return paragraph("No month has any " + label + " here.");
    const auto index = static_cast<std::size_t>(*peak - 1);
    return paragraph(std::string(kMonthNames[index]) + " is the month of greatest " + label + ": " +
                     depth_text(*report.profile.months[index].eto_mm_per_day, style, 1) + " " +
                     depth_unit(style) + " a day.");
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
        list += (list.empty() ? "" : ", ") + std::string(kMonthAbbreviations[month]);
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

std::string how_it_came_about(const SiteReport& report, const TextStyle& style) {
    std::string out = "About these numbers\n";
    out += item(method_sentence(report));
    out += item(origin_sentence(report));
    out += item(correction_sentence(report.profile));
    out += item(uncertainty_sentence(report, style));
    if (report.own) {
        out += item("own: your own record, " + report.own->file + " (" +
                    own_values_text(*report.own) + ").");
    }
    out += item("Rain is all precipitation, snow's water included.");
    out += item("A normal is the mean of many years, not a forecast.");
    return out;
}

/// Ends a sentence that may have its full stop already.
std::string sentence(const std::string& text) {
    return text.empty() || text.ends_with('.') ? text : text + ".";
}

bool have_the_same_terms(const Source& a, const Source& b) {
    return a.period == b.period && a.licence == b.licence && a.attribution == b.attribution;
}

/// Sources of one period, licence and attribution, each name once.
struct SourceGroup {
    const Source* terms = nullptr;
    std::vector<std::string> names;

    void add(const std::string& name) {
        if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
    }
};

std::vector<SourceGroup> grouped(const std::vector<Source>& sources) {
    std::vector<SourceGroup> groups;
    for (const Source& source : sources) {
        const auto group =
            std::find_if(groups.begin(), groups.end(), [&source](const SourceGroup& known) {
                return have_the_same_terms(*known.terms, source);
            });
        if (group != groups.end()) {
            group->add(source.name);
        } else {
            groups.push_back({&source, {source.name}});
        }
    }
    return groups;
}

std::string sources_text(const Baseline& baseline) {
    if (baseline.sources.empty()) return {};
    std::string out = "Sources\n";
    for (const SourceGroup& group : grouped(baseline.sources)) {
        std::string text;
        for (const std::string& name : group.names) text += (text.empty() ? "" : "; ") + name;
        if (!group.terms->period.empty()) text += ": " + group.terms->period;
        text = sentence(text);
        if (!group.terms->attribution.empty()) text += " " + sentence(group.terms->attribution);
        if (!group.terms->licence.empty()) text += " Licence: " + sentence(group.terms->licence);
        out += item(text);
    }
    return out + "\n";
}

std::string baseline_text(const Baseline& baseline) {
    std::string out = paragraph("Baseline: " + baseline.title);
    if (!baseline.publisher.empty()) out += paragraph("Published by " + baseline.publisher);
    return out + paragraph(baseline.notice);
}

}  // namespace

std::string site_text(const SiteReport& report, const TextStyle& style) {
    std::string out = heading(report, style) + "\n";
    out += caption(report, style);
    out += month_table(report, style) + "\n";
    out += peak_sentence(report, style) + "\n";
    if (const std::string steps = step_table(report, style); !steps.empty()) out += steps + "\n";
    out += how_it_came_about(report, style) + "\n";
    return out + sources_text(report.baseline) + baseline_text(report.baseline);
}

}  // namespace thirstline
