#include "builder/report/record_summary.hpp"

#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "schema/base/words.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {

namespace {

using Json = nlohmann::ordered_json;

constexpr int kMaxLines = 40;
constexpr std::size_t kMaxMonths = 6;

std::string month_text(YearAndMonth month) {
    char text[16];
    std::snprintf(text, sizeof text, "%04d-%02d", month.year, month.month + 1);
    return text;
}

std::string number_text(const char* format, double value) {
    char text[48];
    std::snprintf(text, sizeof text, format, value);
    return text;
}

/// "1998-02, 1998-03 and 14 more"
std::string months_text(const std::vector<YearAndMonth>& months) {
    std::string text;
    for (std::size_t i = 0; i < months.size() && i < kMaxMonths; ++i)
        add_word(text, month_text(months[i]));
    if (months.size() > kMaxMonths)
        text += " and " + std::to_string(months.size() - kMaxMonths) + " more";
    return text;
}

/// "no normal for Feb (8 years)"
std::string missing_normals_text(const VariableFindings& variable, int min_years) {
    std::string months;
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (variable.years[month] > 0 && variable.years[month] >= min_years) continue;
        add_word(months, std::string(kMonthAbbreviations[month]) + " (" +
                             counted(variable.years[month], "year") + ")");
    }
    return months.empty() ? "" : "no normal for " + months;
}

std::string variable_line(const StationFindings& station, const VariableFindings& variable,
                          const CompletenessRules& rules) {
    std::string parts;
    for (const VoidMonths& of : variable.voids) {
        add_word(parts,
                 counted(static_cast<std::int64_t>(of.months.size()), "month") + " " +
                     void_reason_text(of.reason, rules) + " (" + months_text(of.months) + ")",
                 "; ");
    }
    const std::string missing = missing_normals_text(variable, rules.min_years);
    if (!missing.empty()) add_word(parts, missing, "; ");
    if (parts.empty()) return "";
    return "  " + station.name + ", " + std::string(variable_name(variable.variable)) + ": " +
           parts + "\n";
}

std::string eto_line(const StationFindings& station, RecordStep step) {
    const std::string of_step(step == RecordStep::hours ? "hour" : "day");
    std::string parts;
    if (station.eto.days > 0) {
        parts = "the network's over that of the " + of_step + "'s weather " +
                number_text("%.2f", station.eto.ratio()) + " on " +
                counted(station.eto.days, "day") + ", spread " +
                number_text("%.2f mm/day", station.eto.spread_mm_per_day());
    }
    if (!std::isnan(station.daily_eto_mm_per_day)) {
        add_word(parts, "by " + of_step + number_text(" %.2f mm/day", station.daily_eto_mm_per_day),
                 "; ");
        if (!std::isnan(station.monthly_eto_mm_per_day))
            parts += ", by the monthly means " +
                     number_text("%.2f mm/day", station.monthly_eto_mm_per_day);
    }
    return parts.empty() ? "" : "  " + station.name + ", reference ET: " + parts + "\n";
}

/// "  Ostrey, rain: trend -12 ± 8 mm a year per decade over 29 years; last 15 years -9 mm a year"
std::string trend_line(const StationFindings& station, const char* of,
                       const std::optional<YearlyTrend>& trend) {
    if (!trend) return "";
    return "  " + station.name + ", " + of + ": trend " + number_text("%+.0f", trend->per_decade) +
           " ± " + number_text("%.0f mm a year per decade", trend->standard_error) + " over " +
           counted(trend->years, "year") + "; last " + std::to_string(kRecentYears) + " years " +
           number_text("%+.0f mm a year", trend->recent) + "\n";
}

/// "  Ostrey: net need of a lawn 410 ± 62 mm a year (standard deviation); the normals give 395 mm,
/// which 6 years in 10 exceed"
std::string years_line(const StationFindings& station) {
    if (!station.years) return "";
    const YearsOfNeed& years = *station.years;
    const double exceeded = 1.0 - share_of_deviate(years.slopes.deviate_of_normals);
    return "  " + station.name +
           ", net need of a lawn: " + number_text("%.0f", years.mean_need_mm) + " ± " +
           number_text("%.0f mm between years", years.standard_deviation_mm) +
           number_text("; from the normals %.0f mm", years.need_of_normals_mm) +
           number_text(", exceeded in %.0f years of 10", 10.0 * exceeded) + "\n";
}

std::string source_text(const RecordFindings& source) {
    std::string out = source.source + ": " + std::string(step_name(source.step)) + "s, " +
                      std::to_string(source.first_year) + "-" + std::to_string(source.last_year) +
                      ": " + counted(source.months_used, "month") + " of single years used";
    for (int reason = 1; reason < kVoidReasons; ++reason) {
        const std::int64_t count = source.months_void[static_cast<std::size_t>(reason)];
        if (count > 0)
            out += ", " + std::to_string(count) +
                   " void: " + void_reason_text(static_cast<VoidReason>(reason), source.rules);
    }
    if (source.rows_outside_period > 0)
        out += ", " + counted(source.rows_outside_period, "row") + " outside the period";
    out += "\n";
    int lines = 0;
    int more = 0;
    const auto add = [&](const std::string& line) {
        if (line.empty()) return;
        if (lines++ < kMaxLines)
            out += line;
        else
            ++more;
    };
    for (const StationFindings& station : source.stations) {
        for (const VariableFindings& variable : station.variables)
            add(variable_line(station, variable, source.rules));
        add(eto_line(station, source.step));
        add(trend_line(station, "rain", station.rain_trend));
        add(trend_line(station, "reference ET", station.eto_trend));
        add(years_line(station));
    }
    if (more > 0) out += "  " + counted(more, "more line") + " with --format json\n";
    return out;
}

Json number_or_null(double value) {
    return std::isnan(value) ? Json(nullptr) : Json(value);
}

Json variable_json(const VariableFindings& variable) {
    Json json{{"variable", variable_name(variable.variable)}, {"years", variable.years}};
    json["void"] = Json::array();
    for (const VoidMonths& of : variable.voids) {
        Json months = Json::array();
        for (const YearAndMonth month : of.months) months.push_back(month_text(month));
        json["void"].push_back(
            {{"reason", void_reason_name(of.reason)}, {"months", std::move(months)}});
    }
    return json;
}

/// mm a year.
Json trend_json(const std::optional<YearlyTrend>& trend) {
    if (!trend) return nullptr;
    return {{"per_decade_mm", trend->per_decade},
            {"standard_error_mm", trend->standard_error},
            {"last_15_years_mm", trend->recent},
            {"years", trend->years}};
}

/// mm a year.
Json years_json(const std::optional<YearsOfNeed>& years) {
    if (!years) return nullptr;
    return {{"mean_mm", years->mean_need_mm},
            {"standard_deviation_mm", years->standard_deviation_mm},
            {"of_normals_mm", years->need_of_normals_mm},
            {"share_above_normals", 1.0 - share_of_deviate(years->slopes.deviate_of_normals)},
            {"years", years->years}};
}

Json station_json(const StationFindings& station) {
    Json json{{"station", station.name}, {"id", station.id}};
    json["variables"] = Json::array();
    for (const VariableFindings& variable : station.variables)
        json["variables"].push_back(variable_json(variable));
    json["eto"] = {{"days_compared", station.eto.days},
                   {"reported_over_computed", number_or_null(station.eto.ratio())},
                   {"spread_mm_per_day", number_or_null(station.eto.spread_mm_per_day())},
                   {"reported_mm_per_day", number_or_null(station.reported_eto_mm_per_day)},
                   {"by_day_mm_per_day", number_or_null(station.daily_eto_mm_per_day)},
                   {"by_month_mm_per_day", number_or_null(station.monthly_eto_mm_per_day)}};
    json["trends"] = {{"rain", trend_json(station.rain_trend)},
                      {"eto", trend_json(station.eto_trend)}};
    json["lawn_need"] = years_json(station.years);
    return json;
}

}  // namespace

std::string records_text(const std::vector<RecordFindings>& records) {
    if (records.empty()) return "";
    std::string out = "RECORDS\n";
    for (const RecordFindings& source : records) out += source_text(source);
    return out;
}

Json records_json(const std::vector<RecordFindings>& records) {
    Json json = Json::array();
    for (const RecordFindings& source : records) {
        Json of_source{{"source", source.source},
                       {"step", step_name(source.step)},
                       {"first_year", source.first_year},
                       {"last_year", source.last_year},
                       {"months_used", source.months_used},
                       {"rows_outside_period", source.rows_outside_period}};
        of_source["months_void"] = Json::object();
        for (int reason = 1; reason < kVoidReasons; ++reason)
            of_source["months_void"]
                     [std::string(void_reason_name(static_cast<VoidReason>(reason)))] =
                         source.months_void[static_cast<std::size_t>(reason)];
        of_source["stations"] = Json::array();
        for (const StationFindings& station : source.stations)
            of_source["stations"].push_back(station_json(station));
        json.push_back(std::move(of_source));
    }
    return json;
}

}  // namespace thirstline
