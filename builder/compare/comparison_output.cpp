#include "builder/compare/comparison_output.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "builder/export/exact_decimals.hpp"
#include "schema/base/words.hpp"
#include "schema/text/text_columns.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMaxLinesShown = 40;

std::string fixed_decimals(const char* format, double value) {
    char text[48];
    std::snprintf(text, sizeof text, format, value);
    // Not "-0.0".
    const bool is_zero = std::string(text).find_first_of("123456789") == std::string::npos;
    return is_zero && (text[0] == '-' || text[0] == '+') ? std::string(text).substr(1) : text;
}

std::string position_words(LatLonE7 at) {
    std::string text;
    append_position(text, at, ",");
    return text;
}

/// At most kMaxLinesShown, each indented, and how many more there are.
std::string lines_text(const std::vector<std::string>& lines) {
    std::string text;
    for (std::size_t i = 0; i < lines.size() && i < kMaxLinesShown; ++i)
        text += "  " + lines[i] + "\n";
    if (lines.size() > kMaxLinesShown) {
        text += "  … and " + std::to_string(lines.size() - kMaxLinesShown) +
                " more (--format json lists all)\n";
    }
    return text;
}

std::string section(const std::string& heading, const std::vector<std::string>& lines) {
    return heading + "\n" + (lines.empty() ? "  no change\n" : lines_text(lines));
}

std::string shown_value(const std::string& text) {
    return text.empty() ? "(none)" : in_quotes(text, 200);
}

std::vector<std::string> changes_lines(const std::vector<TextChange>& changes) {
    std::vector<std::string> lines;
    for (const TextChange& change : changes)
        lines.push_back(change.what + ": " + shown_value(change.before) + " -> " +
                        shown_value(change.after));
    return lines;
}

std::vector<std::string> recipe_lines(const DatabaseComparison& comparison) {
    std::vector<std::string> lines;
    for (const RecipeLine& line : comparison.recipe)
        lines.push_back((line.is_new ? "+" : "-") + std::to_string(line.line) + ": " + line.text);
    if (lines.empty() && comparison.recipes_differ)
        lines.emplace_back("the recipes differ, or only one of the files keeps its recipe");
    return lines;
}

std::vector<std::string> station_lines(const std::vector<StationChange>& changes) {
    std::vector<std::string> lines;
    for (const StationChange& change : changes) {
        const std::string details = station_change_text(change);
        lines.push_back(std::string(station_change_name(change.kind)) + ": " + change.station.name +
                        ", " + change.station.country + ", " +
                        position_words(change.station.position) +
                        (details.empty() ? "" : "; " + details));
    }
    return lines;
}

std::string months_text(const char* name, const Monthly<ChangeOfMonth>& months) {
    TextColumn labels{std::string(name) + ", mm", {}};
    std::vector<TextColumn> columns{{"points", {}}, {"mean", {}}, {"+-", {}},
                                    {"least", {}},  {"5%", {}},   {"median", {}},
                                    {"95%", {}},    {"most", {}}, {"> 2 s.e.", {}}};
    for (std::size_t m = 0; m < kMonths; ++m) {
        const ChangeOfMonth& month = months[m];
        labels.cells.emplace_back(kMonthAbbreviations[m]);
        const auto number = [&month](double value) {
            return month.points == 0 ? std::string("-") : fixed_decimals("%+.1f", value);
        };
        std::size_t column = 0;
        columns[column++].cells.push_back(std::to_string(month.points));
        columns[column++].cells.push_back(number(month.mean));
        columns[column++].cells.push_back(month.mean_se ? fixed_decimals("%.1f", *month.mean_se)
                                                        : "-");
        for (const double value :
             {month.least, month.percent_5, month.median, month.percent_95, month.greatest})
            columns[column++].cells.push_back(number(value));
        columns[column].cells.push_back(std::to_string(month.beyond_two_se));
    }
    return text_table(labels, columns, 2);
}

bool is_unchanged(const Monthly<ChangeOfMonth>& months) {
    return std::ranges::all_of(months, [](const ChangeOfMonth& month) {
        return month.least == 0.0 && month.greatest == 0.0;
    });
}

std::string points_text(const PointChanges& points) {
    std::string text = "POINTS\n  " + std::to_string(points.in_both) + " in both, " +
                       std::to_string(points.only_before) + " only in the old, " +
                       std::to_string(points.only_after) + " only in the new\n";
    if (points.in_both == 0) return text;
    if (is_unchanged(points.eto) && is_unchanged(points.rain))
        return text + "  no change of ETo or rain\n";
    text +=
        "CHANGE BY MONTH over the points of both; +-: standard error of the mean if all points "
        "had the same error\n";
    text += is_unchanged(points.eto) ? "ETo: no change\n" : months_text("ETo", points.eto);
    text += is_unchanged(points.rain) ? "Rain: no change\n" : months_text("Rain", points.rain);
    text += "PLACES changed by more than two standard errors in some month: " +
            std::to_string(points.places_beyond_two_se) + "\n";
    std::vector<std::string> lines;
    for (const ChangedPlace& place : points.greatest) {
        lines.push_back(position_words(place.at) + ": " +
                        (place.variable == "eto" ? "ETo" : "rain") + " of " +
                        std::string(kMonthNames[static_cast<std::size_t>(place.month) - 1]) + " " +
                        fixed_decimals("%.1f", place.before_mm) + " -> " +
                        fixed_decimals("%.1f", place.after_mm) + " mm, " +
                        fixed_decimals("%.1f", place.in_se) + " standard errors");
    }
    return text + lines_text(lines);
}

std::vector<std::string> postal_lines(const PostalChanges& postal) {
    std::vector<std::string> lines;
    const auto add = [&lines](const char* how, const std::vector<PostalPlace>& places) {
        for (const PostalPlace& place : places)
            lines.push_back(std::string(how) + ": " + place.code + " " + place.country +
                            (place.place.empty() ? "" : " (" + place.place + ")"));
    };
    add("gained", postal.gained);
    add("lost", postal.lost);
    add("moved", postal.moved);
    return lines;
}

Json changes_json(const std::vector<TextChange>& changes) {
    Json list = Json::array();
    for (const TextChange& change : changes)
        list.push_back({{"what", change.what}, {"before", change.before}, {"after", change.after}});
    return list;
}

Json position_json(LatLonE7 at) {
    const LatLon degrees = to_degrees(at);
    return {{"lat", degrees.lat_deg}, {"lon", degrees.lon_deg}};
}

/// To hundredths of a millimetre, in which changes are counted.
Json rounded(double value) {
    return std::round(value * 100.0) / 100.0;
}

Json month_json(const ChangeOfMonth& month, std::size_t m) {
    Json json{{"month", static_cast<int>(m) + 1}, {"points", month.points}};
    const auto number = [&month](double value) {
        return month.points == 0 ? Json(nullptr) : rounded(value);
    };
    json["mean_mm"] = number(month.mean);
    json["mean_se_mm"] = month.mean_se ? rounded(*month.mean_se) : Json(nullptr);
    json["least_mm"] = number(month.least);
    json["percent_5_mm"] = number(month.percent_5);
    json["median_mm"] = number(month.median);
    json["percent_95_mm"] = number(month.percent_95);
    json["greatest_mm"] = number(month.greatest);
    json["beyond_two_se"] = month.beyond_two_se;
    return json;
}

Json months_json(const Monthly<ChangeOfMonth>& months) {
    Json list = Json::array();
    for (std::size_t m = 0; m < kMonths; ++m) list.push_back(month_json(months[m], m));
    return list;
}

Json points_json(const PointChanges& points) {
    Json greatest = Json::array();
    for (const ChangedPlace& place : points.greatest) {
        Json row = position_json(place.at);
        row["variable"] = place.variable;
        row["month"] = place.month;
        row["before_mm"] = rounded(place.before_mm);
        row["after_mm"] = rounded(place.after_mm);
        row["standard_errors"] = rounded(place.in_se);
        greatest.push_back(std::move(row));
    }
    return {
        {"in_both", points.in_both},        {"only_before", points.only_before},
        {"only_after", points.only_after},  {"eto", months_json(points.eto)},
        {"rain", months_json(points.rain)}, {"places_beyond_two_se", points.places_beyond_two_se},
        {"greatest", std::move(greatest)}};
}

Json places_json(const std::vector<PostalPlace>& places) {
    Json list = Json::array();
    for (const PostalPlace& place : places)
        list.push_back({{"code", place.code}, {"country", place.country}, {"place", place.place}});
    return list;
}

}  // namespace

std::string station_change_text(const StationChange& change) {
    std::string text;
    if (change.kind == StationChangeKind::moved)
        text = "by " + fixed_decimals("%.1f", change.moved_km) + " km";
    for (const TextChange& detail : change.details)
        text +=
            (text.empty() ? "" : "; ") + detail.what + " " + detail.before + " -> " + detail.after;
    return text;
}

std::string comparison_text(const DatabaseComparison& comparison) {
    if (comparison.is_same) return "the same: content SHA-256 " + comparison.before_sha256 + "\n";
    return section("TEXTS", changes_lines(comparison.metadata)) +
           section("RECIPE, lines only in the old (-) and in the new (+)",
                   recipe_lines(comparison)) +
           section("SOURCES", changes_lines(comparison.sources)) +
           section("STATIONS", station_lines(comparison.stations)) +
           points_text(comparison.points) +
           section("POSTAL CODES", postal_lines(comparison.postal));
}

std::string comparison_json(const DatabaseComparison& comparison) {
    Json recipe = Json::array();
    for (const RecipeLine& line : comparison.recipe)
        recipe.push_back(
            {{"in", line.is_new ? "new" : "old"}, {"line", line.line}, {"text", line.text}});
    Json stations = Json::array();
    for (const StationChange& change : comparison.stations) {
        Json row{{"change", station_change_name(change.kind)},
                 {"name", change.station.name},
                 {"country", change.station.country}};
        row.update(position_json(change.station.position));
        row["elevation_m"] = change.station.elevation_m;
        row["moved_km"] = rounded(change.moved_km);
        row["details"] = changes_json(change.details);
        stations.push_back(std::move(row));
    }
    const Json json{{"schema_version", 1},
                    {"is_same", comparison.is_same},
                    {"before_sha256", comparison.before_sha256},
                    {"after_sha256", comparison.after_sha256},
                    {"texts", changes_json(comparison.metadata)},
                    {"recipes_differ", comparison.recipes_differ},
                    {"recipe_lines", std::move(recipe)},
                    {"sources", changes_json(comparison.sources)},
                    {"stations", std::move(stations)},
                    {"points", points_json(comparison.points)},
                    {"postal_codes",
                     {{"gained", places_json(comparison.postal.gained)},
                      {"lost", places_json(comparison.postal.lost)},
                      {"moved", places_json(comparison.postal.moved)}}}};
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace thirstline
