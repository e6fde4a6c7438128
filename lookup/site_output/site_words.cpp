#include "lookup/site_output/site_words.hpp"

#include <cmath>
#include <utility>

#include "lookup/site_output/place_text.hpp"
#include "lookup/site_output/site_table.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

/// The data's elevation is not the site's: in hilly terrain both may differ much, and ETo with
/// them.
Phrase height_phrase(double data_elevation_m, const SiteReport& report, const TextStyle& style) {
    const std::string of_data = height_text(data_elevation_m, style);
    if (!report.query.elevation_m) return {"site.elevation_of_data"_text, {{"elevation", of_data}}};
    const double reached_m = data_elevation_m + report.profile.point.shifted_by_m;
    // Answers are of whole metres; people read what they typed.
    const bool is_whole_way = std::abs(reached_m - *report.query.elevation_m) < 0.5;
    return {"site.adjusted"_text,
            {{"from", of_data},
             {"to", height_text(is_whole_way ? report.query.typed_elevation_m.value_or(reached_m)
                                             : reached_m,
                                style)}}};
}

TextKey equation_words(EtoEquation equation, bool tall) {
    switch (equation) {
        case EtoEquation::grid_of_eto:
            return "site.equation.grid"_text;
        case EtoEquation::penman_monteith:
            return tall ? "site.equation.asce"_text : "site.equation.fao56"_text;
        case EtoEquation::hargreaves_scaled:
        case EtoEquation::hargreaves:
            break;
    }
    return "site.equation.hargreaves"_text;
}

Phrase humidity_words(HumidityFrom humidity) {
    switch (humidity) {
        case HumidityFrom::vapour_pressure:
            break;
        case HumidityFrom::dew_point:
            return "site.note.dew_point"_text;
        case HumidityFrom::relative_humidity:
            return "site.note.relative_humidity"_text;
        case HumidityFrom::nearby_depression:
            return "site.note.nearby_depression"_text;
        case HumidityFrom::aridity_depression:
            return "site.note.aridity_depression"_text;
    }
    return {};
}

Phrase wind_words(WindFrom wind) {
    switch (wind) {
        case WindFrom::given:
            break;
        case WindFrom::nearby:
            return "site.note.wind_nearby"_text;
        case WindFrom::two_m_per_s:
            return "site.note.wind_unknown"_text;
    }
    return {};
}

Phrase radiation_words(RadiationFrom radiation) {
    switch (radiation) {
        case RadiationFrom::given:
            break;
        case RadiationFrom::sunshine:
            return "site.note.sunshine"_text;
        case RadiationFrom::cloud:
            return "site.note.cloud"_text;
        case RadiationFrom::temperature_range_fitted:
            return "site.note.range_fitted"_text;
        case RadiationFrom::temperature_range:
            return "site.note.range"_text;
    }
    return {};
}

/// method_note, in any language
Phrase note_of_method(const Method& method) {
    switch (method.equation) {
        case EtoEquation::grid_of_eto:
            return "site.note.grid"_text;
        case EtoEquation::hargreaves_scaled:
            return "site.note.hargreaves_scaled"_text;
        case EtoEquation::hargreaves:
            return "site.note.hargreaves"_text;
        case EtoEquation::penman_monteith:
            break;
    }
    std::vector<Phrase> parts;
    for (Phrase part : {humidity_words(method.humidity), wind_words(method.wind),
                        radiation_words(method.radiation)}) {
        if (!part.empty()) parts.push_back(std::move(part));
    }
    return Phrase::joined(std::move(parts), ", ");
}

Phrase method_phrase(const SiteReport& report) {
    const Method& method = report.profile.point.method;
    const bool tall = report.baseline.reference == "tall";
    const Argument reference{"reference", tall ? "site.etr"_text : "site.eto"_text};
    const Argument equation{"equation", equation_words(method.equation, tall)};
    Phrase note = note_of_method(method);
    if (note.empty()) return {"site.method"_text, {reference, equation}};
    return {"site.method_with_note"_text, {reference, equation, {"note", std::move(note)}}};
}

struct KindWords {
    std::string_view kind;  ///< or its first word
    TextKey words;
};

/// "temperature 1991-2020, wind 1961-1990"; the point's own period unless kinds differ.
Phrase period_phrase(const SiteReport& report) {
    if (report.baseline.kinds.empty()) return report.period;
    static constexpr KindWords kKinds[] = {{"temperature", "site.kind.temperature"_text},
                                           {"rain", "site.kind.rain"_text},
                                           {"humidity", "site.kind.humidity"_text},
                                           {"wind", "site.kind.wind"_text},
                                           {"radiation", "site.kind.radiation"_text},
                                           {"reference", "site.kind.reference_et"_text}};
    std::vector<Phrase> parts;
    for (const KindPeriods& kind : report.baseline.kinds) {
        const auto words = std::ranges::find_if(
            kKinds, [&kind](const KindWords& row) { return kind.kind.starts_with(row.kind); });
        if (words == std::end(kKinds)) continue;
        std::vector<Phrase> periods(kind.periods.begin(), kind.periods.end());
        parts.emplace_back(
            "site.period_of_kind"_text,
            std::initializer_list<Argument>{
                {"kind", words->words}, {"periods", Phrase::joined_with_and(std::move(periods))}});
    }
    return Phrase::joined(std::move(parts), ", ");
}

Phrase origin_phrase(const SiteReport& report) {
    const bool is_interpolated = report.profile.point.interpolated;
    if (report.period.empty())
        return is_interpolated ? "site.normals.interpolated"_text : "site.normals.nearest"_text;
    return {is_interpolated ? "site.normals.period_interpolated"_text
                            : "site.normals.period_nearest"_text,
            {{"period", period_phrase(report)}}};
}

/// "Aug", "Jan, Feb", or "any month"
Phrase months_without_correction(const SiteProfile& profile) {
    const auto is_without = [&](std::size_t month) {
        return profile.months[month].method.correction == SiteCorrection::not_done_rain_unknown;
    };
    std::size_t count = 0;
    for (std::size_t month = 0; month < kMonths; ++month) count += is_without(month) ? 1 : 0;
    return count == kMonths ? Phrase("site.any_month"_text) : months_phrase(is_without);
}

Phrase correction_phrase(const SiteProfile& profile) {
    switch (profile.point.method.correction) {
        case SiteCorrection::reference:
            return "site.correction.reference"_text;
        case SiteCorrection::not_wanted:
            return "site.correction.not_wanted"_text;
        case SiteCorrection::not_done_rain_unknown:
            return {"site.correction.rain_unknown"_text,
                    {{"months", months_without_correction(profile)}}};
        case SiteCorrection::not_done_grid_of_eto:
            return "site.correction.grid"_text;
    }
    return {};
}

/// Empty in a file of one lattice.
Phrase lattice_phrase(const SiteReport& report) {
    const Lattice* lattice = answering_lattice(report.baseline, report.profile.point);
    if (lattice == nullptr) return {};
    return {"site.lattice"_text,
            {{"name", lattice->name}, {"spacing", std::to_string(lattice->spacing_arcsec)}}};
}

/// "80" or "97.5"
std::string percent_text(double percent) {
    return fixed(percent, std::floor(percent) == percent ? 0 : 1);
}

/// Empty in a file without wet and dry years.
Phrase year_phrase(const SiteProfile& profile, const TextStyle& style) {
    if (!profile.year) return {};
    const DescribedYear& year = *profile.year;
    const auto depth = [&style](double mm) {
        return depth_text(mm, style, -1) + " " + depth_unit(style);
    };
    const Argument mean{"mean", depth(year.lawn_need_of_normals_mm)};
    if (!year.percent) {
        return {"site.year_hidden"_text,
                {mean,
                 {"above", fixed(year.percent_above_normals / 10.0, 0)},
                 {"dry", depth(year.lawn_need_of_dry_year_mm)}}};
    }
    return {"site.year_moved"_text,
            {{"percent", percent_text(*year.percent)}, {"need", depth(year.lawn_need_mm)}, mean}};
}

std::string uncertainty_sentence(const SiteReport& report, const TextStyle& style) {
    if (!has_standard_errors(report.profile)) return rendered("site.no_errors"_text, style);
    const std::string text = rendered("site.errors"_text, style);
    return style.utf8 ? text : in_ascii(text, style.language);
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
    out.push_back(position_text(report.query.position.value_or(point.at), style.language));
    if (!point.interpolated) {
        out.push_back(rendered({"site.nearest_point"_text,
                                {{"distance", distance_text(point.distance_km, style)},
                                 {"position", position_text(point.at, style.language)}}},
                               style));
    }
    if (point.elevation_m)
        out.push_back(rendered(height_phrase(*point.elevation_m, report, style), style));
    if (report.profile.year && report.profile.year->percent)
        out.push_back(rendered(
            {"site.year_heading"_text, {{"percent", percent_text(*report.profile.year->percent)}}},
            style));
    return out;
}

std::vector<std::string> origin_of_numbers(const SiteReport& report, const TextStyle& style) {
    std::vector<std::string> out = rendered(
        {method_phrase(report), origin_phrase(report), correction_phrase(report.profile)}, style);
    if (report.own) {
        out.push_back(rendered(
            {"site.own"_text, {{"file", report.own->file}, {"values", own_values(*report.own)}}},
            style));
    }
    return out;
}

std::vector<std::string> about_these_numbers(const SiteReport& report, const TextStyle& style) {
    std::vector<std::string> out = origin_of_numbers(report, style);
    // Inserted before the own record, which only some answers have.
    out.insert(out.begin() + 3, uncertainty_sentence(report, style));
    if (const Phrase lattice = lattice_phrase(report); !lattice.empty())
        out.insert(out.begin() + 2, rendered(lattice, style));
    if (const Phrase year = year_phrase(report.profile, style); !year.empty())
        out.push_back(rendered(year, style));
    out.push_back(rendered("site.rain"_text, style));
    out.push_back(rendered("site.normal"_text, style));
    return out;
}

}  // namespace thirstline
