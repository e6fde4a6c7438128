#include "builder/report/build_report.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "builder/licences/licence_text.hpp"
#include "builder/report/coverage_summary.hpp"
#include "builder/report/record_summary.hpp"
#include "schema/base/version.hpp"
#include "schema/base/words.hpp"
#include "schema/text/word_lists.hpp"
#include "schema/tile/method.hpp"

namespace thirstline {

namespace {

using Json = nlohmann::ordered_json;

std::string dumped(const Json& json) {
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string formatted(const char* format, double value) {
    char text[48];
    std::snprintf(text, sizeof text, format, value);
    return text;
}

struct NamedTally {
    std::string name;
    std::string variable;
    const SourceTally* tally;
    /// Some findings at stations do not exclude the value, such as an unusual elevation.
    const char* counted_as = "rejected";
    const StationCounts* stations = nullptr;  ///< only for a source of stations
    std::optional<std::int64_t> rows_read{};  ///< of tables
    std::optional<int> places_with_data{};    ///< of grids, if their coverage was surveyed
};

std::vector<NamedTally> named_tallies(const Recipe& recipe, const BuildOutcome& outcome) {
    std::vector<NamedTally> named;
    for (std::size_t g = 0; g < outcome.totals.tallies.size(); ++g) {
        named.push_back({recipe.grids[g].terms.name,
                         std::string(variable_name(recipe.grids[g].variable)),
                         &outcome.totals.tallies[g]});
        if (outcome.coverage) named.back().places_with_data = outcome.coverage->places_with_grid[g];
    }
    for (std::size_t i = 0; i < outcome.station_tallies.size(); ++i) {
        const StationRecipe& source = recipe.stations[i];
        named.push_back({source.terms.name,
                         source.layout == StationLayout::wide
                             ? std::string(variable_name(source.variables.front().variable))
                             : "stations",
                         &outcome.station_tallies[i], "reported", &outcome.station_counts[i],
                         outcome.station_rows[i]});
    }
    for (std::size_t p = 0; p < outcome.postal.tallies.size(); ++p) {
        named.push_back(
            {"postal codes of " + recipe.postal[p].country, "postal", &outcome.postal.tallies[p]});
    }
    return named;
}

std::string method_text(std::uint16_t code) {
    const Method method = method_of_code(code);
    const std::string note = method_note(method);
    std::string text = method_name(method) + (note.empty() ? "" : ", " + note);
    if (method.correction == SiteCorrection::not_done_rain_unknown)
        text += ", no site correction because rain is unknown";
    return text;
}

Json counts_json(const std::map<std::string, std::int64_t>& count_by_rule) {
    Json counts = Json::object();
    for (const auto& [rule, count] : count_by_rule) counts[rule] = count;
    return counts;
}

/// Counts of the stations used, and of the lengths of their records (WMO-No. 1203).
void add_station_counts(Json& source, const StationCounts& counts) {
    source["stations"] = counts.stations;
    Json lengths = Json::object();
    for (std::size_t length = 0; length < kRecordLengths; ++length) {
        lengths[std::string(record_length_name(static_cast<RecordLength>(length)))] =
            counts.normals_by_length[length];
    }
    source["normals_by_record_length"] = std::move(lengths);
    source["files"] = counts.variables_in_files.files;
    source["files_without_variable"] = Json(counts.variables_in_files.without);
}

Json suspect_json(const Suspect& suspect) {
    Json json{{"source", suspect.source}, {"file", suspect.file}};
    json["line"] = suspect.line ? Json(*suspect.line) : Json(nullptr);
    json["station"] = suspect.station ? Json(*suspect.station) : Json(nullptr);
    json["lat"] = suspect.position ? Json(suspect.position->lat_deg) : Json(nullptr);
    json["lon"] = suspect.position ? Json(suspect.position->lon_deg) : Json(nullptr);
    json["variable"] = suspect.variable;
    json["month"] = suspect.month ? Json(*suspect.month) : Json(nullptr);
    if (suspect.year) json["year"] = *suspect.year;
    json["value"] = suspect.value;
    json["rule"] = suspect.rule;
    json["action"] = suspect.action;
    return json;
}

std::string place_of(const Suspect& suspect) {
    if (suspect.line) return suspect.file + ":" + std::to_string(*suspect.line);
    if (!suspect.position) return suspect.file;
    return suspect.file + " at " + formatted("%.3f", suspect.position->lat_deg) + "," +
           formatted("%.3f", suspect.position->lon_deg);
}

using TableRow = std::array<std::string, 5>;

/// "22 stations, 264 rows", "data at 97% of the points"
std::string read_text(const NamedTally& named, const BuildOutcome& outcome) {
    if (named.places_with_data) {
        const int places = std::max(1, outcome.coverage->places_with_data);
        return "data at " + std::to_string(100 * *named.places_with_data / places) +
               "% of the points";
    }
    const std::int64_t outside = named.tally->outside;
    if (!named.rows_read) return outside == 0 ? "" : counted(outside, "code") + " outside";
    std::string rows = counted(*named.rows_read, "row");
    if (outside > 0) rows += ", " + std::to_string(outside) + " outside";
    return named.stations == nullptr ? rows
                                     : counted(named.stations->stations, "station") + ", " + rows;
}

std::string rejected_text(const NamedTally& named) {
    std::string rules;
    std::int64_t sum = 0;
    for (const auto& [rule, count] : named.tally->rejected) {
        rules += (rules.empty() ? "" : ", ") + rule + " " + std::to_string(count);
        sum += count;
    }
    if (sum == 0) return std::string("none ") + named.counted_as;
    return std::to_string(sum) + " " + named.counted_as + " (" + rules + ")";
}

TableRow row_of(const Suspect& suspect) {
    std::string variable = suspect.variable;
    if (suspect.month) variable += ", month " + std::to_string(*suspect.month);
    if (suspect.year) variable += " of " + std::to_string(*suspect.year);
    return {place_of(suspect), suspect.station.value_or(""), variable, suspect.value,
            suspect.action};
}

/// In characters (UTF-8).
std::size_t width_of(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0) != 0x80;
    }));
}

/// One line per row, columns aligned; a column that is empty in all rows is omitted.
std::string aligned(const std::vector<TableRow>& rows) {
    std::array<std::size_t, std::tuple_size_v<TableRow>> widths{};
    for (const TableRow& row : rows)
        for (std::size_t i = 0; i < row.size(); ++i)
            widths[i] = std::max(widths[i], width_of(row[i]));
    std::string out;
    for (const TableRow& row : rows) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i) {
            if (widths[i] == 0) continue;
            line += "  " + row[i] + std::string(widths[i] - width_of(row[i]), ' ');
        }
        out += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    return out;
}

/// A line for each variable that some files of the source do not have.
std::string files_without_text(const std::string& source, const VariablesInFiles& counts) {
    std::string lines;
    for (const auto& [variable, count] : counts.without) {
        lines += source + ": " + std::to_string(count) + " of " + counted(counts.files, "file") +
                 " without " + variable + "\n";
    }
    return lines;
}

/// What "outside" means, if any row or postal code is.
std::string outside_text(const Recipe& recipe, const BuildOutcome& outcome) {
    const auto has_outside = [](const std::vector<SourceTally>& tallies) {
        return std::any_of(tallies.begin(), tallies.end(),
                           [](const SourceTally& tally) { return tally.outside > 0; });
    };
    std::string limits;
    if (has_outside(outcome.station_tallies))
        add_word(limits, "stations " + region_of_stations(recipe).text() + " (station_margin_km)");
    if (has_outside(outcome.postal.tallies))
        add_word(limits, "postal codes " + region_of_postal_codes(recipe).text() + " (reach_km)");
    return limits.empty() ? "" : "  used: " + limits + "; those outside are not checked\n";
}

/// Of each source: what was read, used and rejected.
std::string sources_text(const Recipe& recipe, const BuildOutcome& outcome) {
    std::vector<TableRow> rows;
    for (const NamedTally& named : named_tallies(recipe, outcome)) {
        rows.push_back({named.name, named.variable, read_text(named, outcome),
                        counted(named.tally->used, "value") + " used", rejected_text(named)});
    }
    return rows.empty() ? "" : "SOURCES\n" + aligned(rows) + outside_text(recipe, outcome);
}

Json coverage_json(const LatticeCoverage& coverage) {
    Json json{{"points_surveyed", coverage.places.size()},
              {"points_with_data", coverage.places_with_data}};
    json["percent_by_month"] = Json::object();
    for (std::size_t need = 0; need < kNeeds; ++need) {
        json["percent_by_month"][std::string(need_name(static_cast<Need>(need)))] =
            covered_percent(coverage, static_cast<Need>(need));
    }
    json["missing"] = Json::array();
    for (const Gap& lack : gaps_of(coverage)) {
        json["missing"].push_back({{"variable", std::string(need_name(lack.need))},
                                   {"points", lack.places},
                                   {"percent", lack.percent},
                                   {"where", lack.where},
                                   {"months", lack.months},
                                   {"consequence", lack.consequence},
                                   {"to_add", lack.helpful_source}});
    }
    const CoverageMap map = coverage_map(coverage);
    json["map"] = {{"rows", map.rows},
                   {"north", map.north_deg},
                   {"south", map.south_deg},
                   {"west", map.west_deg},
                   {"east", map.east_deg}};
    json["map"]["legend"] = Json::object();
    for (const auto& [sign, meaning] : map.legend)
        json["map"]["legend"][std::string(1, sign)] = meaning;
    return json;
}

}  // namespace

std::int64_t suspects_counted(const BuildOutcome& outcome) {
    std::int64_t count = 0;
    for (const auto* tallies :
         {&outcome.totals.tallies, &outcome.station_tallies, &outcome.postal.tallies}) {
        for (const SourceTally& tally : *tallies)
            for (const auto& [rule, of_rule] : tally.rejected) count += of_rule;
    }
    return count;
}

std::string build_summary(const Recipe& recipe, const BuildOutcome& outcome) {
    const BlockTiles& totals = outcome.totals;
    std::string out = std::to_string(totals.points) + " of " +
                      counted(outcome.lattice_points, "lattice point") + " have data\n";
    for (const auto& [code, count] : totals.points_by_method)
        out += "  " + std::to_string(count) + "  " + method_text(code) + "\n";
    if (totals.incomplete_points > 0)
        out += "  " + std::to_string(totals.incomplete_points) +
               "  left out: a driver or a month is missing\n";
    if (totals.points_without_rain > 0)
        out += "  " + std::to_string(totals.points_without_rain) + "  without rain in some month\n";
    for (const NamedTally& named : named_tallies(recipe, outcome)) {
        for (const auto& [rule, count] : named.tally->rejected)
            out += named.name + ": " + std::to_string(count) + " " + named.counted_as + ": " +
                   rule + "\n";
        if (named.stations != nullptr)
            out += files_without_text(named.name, named.stations->variables_in_files);
    }
    out += counted(outcome.postal_codes, "postal code") + "\n";
    double seconds = 0.0;
    double peak_mb = 0.0;
    for (const StageFigures& stage : outcome.stages) {
        seconds += stage.seconds;
        peak_mb = std::max(peak_mb, stage.peak_memory_mb);
    }
    if (outcome.file_bytes > 0) {
        out += counted(outcome.file_bytes, "byte");
        if (totals.points > 0) {
            out += ", " +
                   formatted("%.1f", static_cast<double>(outcome.file_bytes) /
                                         static_cast<double>(totals.points)) +
                   " per point";
        }
        out += "\n";
    }
    out += formatted("%.1f s", seconds) + ", " + formatted("at most %.0f MB of memory", peak_mb) +
           "\n";
    return out;
}

std::string build_report_json(const Recipe& recipe, const BuildOutcome& outcome) {
    const BlockTiles& totals = outcome.totals;
    Json report{{"schema_version", 1},
                {"title", recipe.title},
                {"builder_version", kProgramVersion},
                {"lattice_points", outcome.lattice_points},
                {"points", totals.points}};
    report["points_by_method"] = Json::array();
    for (const auto& [code, count] : totals.points_by_method) {
        const Method method = method_of_code(code);
        report["points_by_method"].push_back(
            {{"code", code},
             {"method", method_name(method)},
             {"method_note", method_note(method)},
             {"site_correction", site_correction_text(method.correction)},
             {"points", count}});
    }
    report["incomplete_points"] = totals.incomplete_points;
    report["points_without_rain"] = totals.points_without_rain;
    report["tiles"] = outcome.tiles;
    report["sources"] = Json::array();
    for (const NamedTally& named : named_tallies(recipe, outcome)) {
        Json source{{"name", named.name},
                    {"variable", named.variable},
                    {"used", named.tally->used},
                    {"outside", named.tally->outside},
                    {"rejected", counts_json(named.tally->not_used())},
                    {"doubtful", counts_json(named.tally->doubtful)}};
        if (named.stations != nullptr) add_station_counts(source, *named.stations);
        source["examples"] = Json::array();
        for (const Suspect& suspect : named.tally->examples)
            source["examples"].push_back(suspect_json(suspect));
        report["sources"].push_back(std::move(source));
    }
    if (!outcome.records.empty()) report["records"] = records_json(outcome.records);
    report["postal"] = {{"rows_read", outcome.postal.rows_read}, {"codes", outcome.postal_codes}};
    report["warnings"] = outcome.warnings;
    report["stages"] = Json::array();
    for (const StageFigures& stage : outcome.stages) {
        report["stages"].push_back({{"stage", stage.name},
                                    {"seconds", stage.seconds},
                                    {"peak_memory_mb", stage.peak_memory_mb}});
    }
    report["file"] = {{"bytes", outcome.file_bytes}};
    report["file"]["bytes_per_point"] =
        totals.points > 0
            ? Json(static_cast<double>(outcome.file_bytes) / static_cast<double>(totals.points))
            : Json(nullptr);
    return dumped(report);
}

std::string suspects_text(const Recipe& recipe, const BuildOutcome& outcome) {
    std::string out;
    for (const std::string& warning : outcome.warnings) out += "note: " + warning + "\n";
    for (const NamedTally& named : named_tallies(recipe, outcome)) {
        for (const auto& [rule, count] : named.tally->rejected) {
            out += named.name + ": " + rule + ": " + std::to_string(count) + "\n";
            std::vector<TableRow> rows;
            for (const Suspect& suspect : named.tally->examples)
                if (suspect.rule == rule) rows.push_back(row_of(suspect));
            out += aligned(rows);
        }
    }
    if (suspects_counted(outcome) == 0) out += "no suspect values\n";
    out += sources_text(recipe, outcome);
    out += records_text(outcome.records);
    if (outcome.coverage) out += coverage_text(*outcome.coverage);
    return out + counted(outcome.totals.points, "point") + " and " +
           counted(outcome.postal_codes, "postal code") + " would be built\n";
}

std::string suspects_json(const Recipe& recipe, const BuildOutcome& outcome,
                          const LicenceSummary& licences) {
    Json json{{"schema_version", 1}};
    json["suspects"] = Json::array();
    Json by_source = Json::array();
    for (const NamedTally& named : named_tallies(recipe, outcome)) {
        for (const Suspect& suspect : named.tally->examples)
            json["suspects"].push_back(suspect_json(suspect));
        Json source{{"source", named.name},
                    {"variable", named.variable},
                    {"used", named.tally->used},
                    {"outside", named.tally->outside},
                    {"rejected", counts_json(named.tally->not_used())},
                    {"doubtful", counts_json(named.tally->doubtful)}};
        if (named.places_with_data) source["points_with_data"] = *named.places_with_data;
        if (named.rows_read) source["rows_read"] = *named.rows_read;
        if (named.stations != nullptr) source["stations"] = named.stations->stations;
        by_source.push_back(std::move(source));
    }
    json["counts"] = {{"suspects", suspects_counted(outcome)},
                      {"points", outcome.totals.points},
                      {"incomplete_points", outcome.totals.incomplete_points},
                      {"postal_codes", outcome.postal_codes},
                      {"sources", std::move(by_source)}};
    if (outcome.coverage) json["coverage"] = coverage_json(*outcome.coverage);
    if (!outcome.records.empty()) json["records"] = records_json(outcome.records);
    json["warnings"] = outcome.warnings;
    json["licences"] = licence_summary_json(licences);
    return dumped(json);
}

}  // namespace thirstline
