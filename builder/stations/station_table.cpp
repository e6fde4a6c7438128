#include "builder/stations/station_table.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <optional>
#include <tuple>

#include "builder/grids/plausible_values.hpp"
#include "builder/inputs/table_fields.hpp"
#include "builder/inputs/text_encoding.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "builder/reference_et/wind.hpp"
#include "builder/stations/record_length.hpp"
#include "builder/stations/station_columns.hpp"
#include "builder/stations/station_files.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

namespace {

// The shore of the Dead Sea, and above the highest weather stations.
constexpr double kLowestStationM = -450.0;
constexpr double kHighestStationM = 6500.0;
// With at least this many values, most of them implausible, the unit is assumed to be wrong.
constexpr std::int64_t kEnoughToJudgeUnit = 12;
// The same for values of a month that the station already has, and that differ from the first: two
// years in a table give as many of these as first values.
constexpr std::int64_t kEnoughToJudgeRepetition = 12;

struct Plausibility {
    std::int64_t seen = 0;
    std::int64_t implausible = 0;
    std::int64_t repeated = 0;  ///< given before for the same station and month with a different
                                ///< value
    std::string example;        ///< the first implausible value as written, and its position
};

/// The identity of a row's station, if several rows make one station.
using RowKey = std::tuple<std::string, std::string, double, double>;

class StationReading {
  public:
    StationReading(const StationRecipe& recipe, int source, TextRecoder recoder)
        : recipe_(recipe), source_(source), recoder_(std::move(recoder)) {
        for (const StationVariable& variable : recipe.variables) {
            // The recipe has been checked: the unit is valid for the variable.
            conversions_.push_back(
                unit_conversion(variable.variable, variable.unit).value_or(UnitConversion{}));
            for (double& factor : conversions_.back().factor) factor *= variable.scale;
        }
        plausibility_.resize(recipe.variables.size());
        metres_ = unit_conversion(Variable::elevation, recipe.elevation_unit)
                      .value_or(UnitConversion{})
                      .factor[0];
    }

    Result<StationTable> read() {
        table_.files = TRY(station_files(recipe_.path, recipe_.where));
        for (std::size_t file = 0; file < table_.files.size(); ++file) TRY(read_file(file));
        TRY(check_units());
        TRY(check_repetition());
        drop_constant_years();
        if (table_.tally.used == 0) {
            return fail(ErrorCode::bad_input,
                        recipe_.where + ": no row of " + recipe_.path + " can be used as a station",
                        "compare its columns, units and missing codes with the recipe");
        }
        return std::move(table_);
    }

  private:
    Result<void> read_file(std::size_t file) {
        const std::string& path = table_.files[file];
        file_ = static_cast<std::int32_t>(file);
        file_name_ = std::filesystem::path(path).filename().string();
        auto bytes = TRY(vsi_bytes(path, recipe_.where));
        CsvReader reader = CsvReader::over(file_name_, std::move(bytes));
        CsvRow row;
        const auto header = TRY(reader.next(row));
        if (!header)
            return fail(ErrorCode::bad_input, recipe_.where + ": " + file_name_ + " is empty");
        const auto columns = TRY(station_columns(row, recipe_, file_name_, recoder_));
        while (true) {
            const auto more = TRY(reader.next(row));
            if (!more) return {};
            ++table_.rows_read;
            take_row(row, columns);
        }
    }

    std::string field(const CsvRow& row, int column) const {
        if (column < 0) return {};
        return trimmed_field(recoder_.utf8(row.field(static_cast<std::size_t>(column))));
    }

    Suspect suspect_at(std::int64_t line, const std::string& station, const std::string& value,
                       const std::string& rule, const std::string& action) const {
        Suspect found;
        found.source = recipe_.terms.name;
        found.file = file_name_;
        found.line = line;
        found.station = station;
        if (recipe_.layout == StationLayout::wide)
            found.variable = variable_name(recipe_.variables.front().variable);
        found.value = value;
        found.rule = rule;
        found.action = action;
        return found;
    }
    void report(const Suspect& found) { table_.tally.reject_and_list(found); }

    bool is_missing(const std::string& text) const {
        if (text.empty()) return true;
        const auto& words = recipe_.missing_words;
        if (std::find(words.begin(), words.end(), text) != words.end()) return true;
        const auto number = number_in_field(text);
        const auto& codes = recipe_.missing;
        return number && std::find(codes.begin(), codes.end(), *number) != codes.end();
    }

    /// The station that a row describes; nothing, with a line in the report, if it is not valid.
    std::optional<Station> station_of(const CsvRow& row, const StationColumns& columns) {
        Station station;
        station.id = field(row, columns.station);
        station.name = field(row, columns.name);
        if (station.name.empty()) station.name = station.id;
        const auto refuse = [&](const std::string& value, const std::string& rule) {
            report(suspect_at(row.line(), station.name, value, rule, "row not used"));
            return std::nullopt;
        };
        if (!row.problem().empty()) return refuse("", std::string(row.problem()));
        if (row.size() != columns.count) {  // values may be in the wrong column
            return refuse(std::to_string(row.size()) + " fields, " + std::to_string(columns.count) +
                              " in the header",
                          "not as many fields as the header has");
        }
        station.country = field(row, columns.country);
        if (station.country.empty()) station.country = recipe_.country;
        const std::string lat = field(row, columns.lat);
        const std::string lon = field(row, columns.lon);
        const auto position = position_in_fields(lat, lon);
        if (!position) return refuse(lat + "," + lon, position.error());
        station.position = *position;
        station.elevation_m = elevation_m(row, field(row, columns.elevation), station.name);
        return station;
    }

    double elevation_m(const CsvRow& row, const std::string& text, const std::string& station) {
        if (is_missing(text)) return kUnknown;
        const auto number = number_in_field(text);
        const double metres = number.value_or(kUnknown) * metres_;
        if (metres >= kLowestStationM && metres <= kHighestStationM) return metres;
        Suspect found = suspect_at(
            row.line(), station, number ? text + " " + recipe_.elevation_unit : text,
            number ? "elevation is impossible" : "elevation cannot be read", "treated as unknown");
        found.variable = variable_name(Variable::elevation);
        report(found);
        return kUnknown;
    }

    void take_row(const CsvRow& row, const StationColumns& columns) {
        auto station = station_of(row, columns);
        if (!station) return;
        if (recipe_.layout == StationLayout::wide) {
            StationNormals normals = empty_normals(0);
            for (std::size_t month = 0; month < kMonths; ++month)
                take_value(normals, 0, month, field(row, columns.months[month]), row, *station);
            note_record(normals, 0, row, columns);
            note_repetition(*station, normals);
            station->normals.push_back(std::move(normals));
            table_.stations.push_back(std::move(*station));
            return;
        }
        const std::string month_text = field(row, columns.month);
        const auto month = number_in_field(month_text);
        if (!month || *month < 1 || *month > kMonths || *month != std::floor(*month)) {
            report(suspect_at(row.line(), station->name, month_text, "month is not 1 to 12",
                              "row not used"));
            return;
        }
        Station& owner = owner_of(std::move(*station));
        for (std::size_t v = 0; v < recipe_.variables.size(); ++v) {
            StationNormals& normals = owner.normals[v];
            take_value(normals, v, static_cast<std::size_t>(*month) - 1,
                       field(row, columns.variables[v].value), row, owner);
            note_record(normals, v, row, columns);
        }
    }

    /// A wide table has one row per station; a table of yearly records has one per year.
    void note_repetition(const Station& station, const StationNormals& normals) {
        const RowKey key{station.id, station.name, station.position.lat_deg,
                         station.position.lon_deg};
        const auto [at, is_new] = owners_.try_emplace(key, table_.stations.size());
        if (is_new) return;
        const Monthly<double>& first = table_.stations[at->second].normals.front().values;
        for (std::size_t month = 0; month < kMonths; ++month) {
            if (!std::isnan(first[month]) && !std::isnan(normals.values[month]) &&
                first[month] != normals.values[month])
                ++plausibility_[0].repeated;
        }
    }

    /// The station of all rows with this id, name and position.
    Station& owner_of(Station station) {
        RowKey key{station.id, station.name, station.position.lat_deg, station.position.lon_deg};
        const auto [at, is_new] = owners_.try_emplace(std::move(key), table_.stations.size());
        if (is_new) {
            for (std::size_t v = 0; v < recipe_.variables.size(); ++v)
                station.normals.push_back(empty_normals(v));
            table_.stations.push_back(std::move(station));
        }
        return table_.stations[at->second];
    }

    StationNormals empty_normals(std::size_t variable) const {
        StationNormals normals;
        normals.variable = recipe_.variables[variable].variable;
        normals.source = source_;
        normals.length = length_of_period(recipe_.terms.period);
        return normals;
    }

    void take_value(StationNormals& normals, std::size_t variable, std::size_t month,
                    const std::string& text, const CsvRow& row, const Station& station) {
        if (is_missing(text)) return;
        const auto refuse = [&](const std::string& rule) {
            Suspect found = suspect_at(row.line(), station.name, text, rule, "value not used");
            found.variable = variable_name(normals.variable);
            found.month = static_cast<int>(month) + 1;
            report(found);
        };
        const auto number = number_in_field(text);
        if (!number) return refuse("not a number");
        double value = conversions_[variable].canonical(*number, static_cast<int>(month));
        Plausibility& plausibility = plausibility_[variable];
        if (normals.lines[month].line != 0) {
            if (as_kept(normals.variable, value) != normals.values[month]) ++plausibility.repeated;
            return refuse("month given twice");
        }
        ++plausibility.seen;
        if (const auto rule = rejection_of(normals.variable, value)) {
            if (plausibility.implausible++ == 0)
                plausibility.example =
                    text + " at " + file_name_ + ":" + std::to_string(row.line());
            return refuse(std::string(rule_name(*rule)));
        }
        normals.values[month] = as_kept(normals.variable, value);
        normals.lines[month] = {file_, static_cast<std::int32_t>(row.line())};
        ++table_.tally.used;
    }

    /// Wind at 2 m; values slightly above the maximum are set to the maximum.
    double as_kept(Variable variable, double value) const {
        const double held = held_within_range(variable, value);
        return variable == Variable::wind
                   ? wind_at_two_metres_m_per_s(held * recipe_.exposure, recipe_.height_m)
                   : held;
    }

    /// A number of years has precedence over a flag; of several months the shortest record is used.
    void note_record(StationNormals& normals, std::size_t variable, const CsvRow& row,
                     const StationColumns& columns) const {
        if (normals.length == RecordLength::typical_year) return;
        const StationColumns::OfVariable& of = columns.variables[variable];
        const std::string years_text = field(row, of.years);
        const auto years = number_in_field(years_text);
        if (years && *years >= 0.0 && !is_missing(years_text)) {
            normals.years = std::isnan(normals.years) ? *years : std::min(normals.years, *years);
            normals.length = length_of_years(normals.years);
        } else if (std::isnan(normals.years)) {
            const RecordLength length = length_of_flag(field(row, of.flag));
            if (length == RecordLength::short_record ||
                (length == RecordLength::standard_normal &&
                 normals.length == RecordLength::not_stated)) {
                normals.length = length;
            }
        }
    }

    Result<void> check_units() const {
        for (std::size_t v = 0; v < plausibility_.size(); ++v) {
            const Plausibility& found = plausibility_[v];
            if (found.seen < kEnoughToJudgeUnit || found.implausible * 2 <= found.seen) continue;
            const StationVariable& variable = recipe_.variables[v];
            return fail(ErrorCode::bad_input,
                        recipe_.where + ": most values of " +
                            std::string(variable_name(variable.variable)) + " in " + recipe_.path +
                            " are not plausible in " + variable.unit + " (the first is " +
                            found.example +
                            "); correct the unit, or name the code of missing values");
        }
        return {};
    }

    Result<void> check_repetition() const {
        for (std::size_t v = 0; v < plausibility_.size(); ++v) {
            const Plausibility& found = plausibility_[v];
            // All values of a wide table count as read, in a long one only the first.
            const std::int64_t first =
                recipe_.layout == StationLayout::wide ? found.seen - found.repeated : found.seen;
            if (found.repeated < kEnoughToJudgeRepetition || found.repeated * 2 <= first) continue;
            return fail(ErrorCode::bad_input,
                        recipe_.where + ": most values of " +
                            std::string(variable_name(recipe_.variables[v].variable)) + " in " +
                            recipe_.path +
                            " repeat a station and month with another value: this is a record of "
                            "years, not a table of normals",
                        "use a table of normals: one mean over the years for each station and "
                        "month");
        }
        return {};
    }

    /// Twelve equal months are not a climate but a gap filler; only rain can really be 0 all year.
    void drop_constant_years() {
        for (Station& station : table_.stations) {
            for (StationNormals& normals : station.normals) {
                const double first = normals.values[0];
                const bool is_constant =
                    !std::isnan(first) &&
                    std::all_of(normals.values.begin(), normals.values.end(),
                                [first](double value) { return value == first; });
                const bool is_rainless = first == 0.0 && (normals.variable == Variable::rain ||
                                                          normals.variable == Variable::rain_days);
                if (!is_constant || is_rainless) continue;
                const TableLine at = normals.lines[0];
                file_name_ = std::filesystem::path(table_.files[static_cast<std::size_t>(at.file)])
                                 .filename()
                                 .string();
                Suspect found =
                    suspect_at(at.line, station.name, value_text(normals.variable, first),
                               "twelve equal months", "values not used");
                found.variable = variable_name(normals.variable);
                report(found);
                normals.values = kUnknownYear;
                table_.tally.used -= kMonths;
            }
        }
    }

    const StationRecipe& recipe_;
    int source_;
    TextRecoder recoder_;
    std::vector<UnitConversion> conversions_;
    double metres_ = 1.0;                     ///< per unit of elevation
    std::vector<Plausibility> plausibility_;  ///< by variable
    std::map<RowKey, std::size_t> owners_;
    StationTable table_;
    std::int32_t file_ = 0;
    std::string file_name_;
};

}  // namespace

Result<StationTable> read_station_table(const StationRecipe& recipe, int source) {
    auto recoder = TextRecoder::open(recipe.encoding);
    if (!recoder) {
        return fail(ErrorCode::bad_input,
                    recipe.where + ": \"" + recipe.encoding + "\" is not a known encoding");
    }
    return StationReading(recipe, source, std::move(*recoder)).read();
}

}  // namespace thirstline
