#include "builder/stations/station_table.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>
#include <set>
#include <tuple>

#include "builder/grids/plausible_values.hpp"
#include "builder/inputs/row_conditions.hpp"
#include "builder/inputs/table_fields.hpp"
#include "builder/inputs/table_rows.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "builder/reference_et/wind.hpp"
#include "builder/stations/record_length.hpp"
#include "builder/stations/record_signs.hpp"
#include "builder/stations/station_columns.hpp"
#include "builder/stations/station_files.hpp"
#include "builder/stations/station_numbers.hpp"
#include "builder/stations/station_positions.hpp"
#include "builder/stations/value_counts.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

// The shore of the Dead Sea, and above the highest weather stations.
constexpr double kLowestStationM = -450.0;
constexpr double kHighestStationM = 6500.0;

/// The identity of a row's station, if several rows make one station.
using RowKey = std::tuple<std::string, std::string, double, double>;

class StationReading {
  public:
    StationReading(const StationRecipe& recipe, int source, TextRecoder recoder)
        : recipe_(recipe),
          source_(source),
          recoder_(std::move(recoder)),
          headers_(recipe),
          numbers_(recipe),
          signs_(recipe.month_column),
          flags_(recipe.flags),
          rows_(recipe.rows),
          counts_(recipe.variables.size()) {
        for (const StationVariable& variable : recipe.variables)
            rows_of_variables_.emplace_back(variable.rows);
    }

    Result<StationTable> read() {
        if (recipe_.positions) positions_ = TRY(StationPositions::read(*recipe_.positions));
        table_.inputs = TRY(station_files(recipe_.path, recipe_.where));
        if (recipe_.positions) table_.inputs.push_back(input_file(recipe_.positions->path));
        TRY(visit_station_tables(recipe_.path, recipe_.where,
                                 [this](const std::string& path, ByteSource bytes) {
                                     return read_file(path, std::move(bytes));
                                 }));
        TRY(headers_.check_found());
        TRY(rows_.check_chosen(recipe_.path));
        for (const RowChoice& rows : rows_of_variables_) TRY(rows.check_chosen(recipe_.path));
        if (positions_) TRY(positions_->check_found());
        for (std::size_t v = 0; v < counts_.size(); ++v) {
            TRY(check_repetition(counts_[v], recipe_, recipe_.variables[v], table_.files.size(),
                                 signs_));
            TRY(check_unit(counts_[v], recipe_, recipe_.variables[v]));
        }
        TRY(check_months());
        flags_.drop_doubtful(table_.stations, recipe_.terms.period);
        drop_constant_years();
        if (table_.tally.used == 0) {
            return fail(ErrorCode::bad_input,
                        recipe_.where + ": no row of " + recipe_.path + " can be used as a station",
                        signs_.suspicion().empty()
                            ? "compare its columns, units and missing codes with the recipe"
                            : signs_.suspicion());
        }
        sort_by_file();
        table_.files_without = headers_.files_without();
        return std::move(table_);
    }

  private:
    Result<void> read_file(const std::string& path, ByteSource bytes) {
        file_ = static_cast<std::int32_t>(table_.files.size());
        table_.files.push_back(path);
        file_name_ = file_name_of(path);
        TableRows table =
            TRY(open_table(file_name_, std::move(bytes), recipe_.format, recoder_, recipe_.where));
        const HeaderNames header(table.header, recoder_);
        signs_.begin_file(header);
        const auto begun = begin_file(header);
        if (!begun)
            return fail(with_suspicion(within_archive(begun.error(), recipe_.path, table_.files),
                                       table.reader));
        fields_ = table.header.size();
        CsvRow row;
        while (true) {
            const auto more = TRY(table.reader.next(row));
            if (!more) return {};
            ++table_.rows_read;
            take_row(row);
        }
    }

    Result<void> begin_file(const HeaderNames& header) {
        columns_ = TRY(headers_.columns_of(header, file_name_));
        TRY(rows_.begin_file(header, file_name_));
        for (RowChoice& rows : rows_of_variables_) TRY(rows.begin_file(header, file_name_));
        if (positions_) TRY(positions_->begin_file(header, file_name_));
        return {};
    }

    /// Columns may be lacking because the table is none of normals.
    Error with_suspicion(Error error, CsvReader& rows) {
        CsvRow row;
        while (signs_.looks()) {
            const auto more = rows.next(row);
            if (!more || !*more) break;
            signs_.note(row, recoder_);
        }
        const std::string suspicion = signs_.suspicion();
        if (!suspicion.empty()) error.hint = suspicion;
        return error;
    }

    /// A day of the year passes for a month, until the thirteenth. A thirteenth row a station, of
    /// the year, is no fault.
    Result<void> check_months() const {
        const bool has_signs = signs_.step() != TimeStep::none;
        if (rows_without_month_ * (has_signs ? 4 : 2) <= rows_with_month_field_) return {};
        if (has_signs) return fail(signs_.error(recipe_.where, recipe_.path));
        return fail(ErrorCode::bad_input,
                    recipe_.where + ": column \"" + recipe_.month_column + "\" of " + recipe_.path +
                        " has no month (1 to 12) in most rows (the first is " + example_of_month_ +
                        ")",
                    "name the column of the month's number");
    }

    std::string field(const CsvRow& row, int column) const {
        return text_in(row, column, recoder_);
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

    /// The station that a row describes; nothing, with a line in the report, if it is not valid.
    std::optional<Station> station_of(const CsvRow& row) {
        Station station;
        station.id = field(row, columns_.station);
        station.name = field(row, columns_.name);
        station.country = field(row, columns_.country);
        std::string lat = with_decimal_point(field(row, columns_.lat), recipe_.format);
        std::string lon = with_decimal_point(field(row, columns_.lon), recipe_.format);
        std::string elevation = field(row, columns_.elevation);
        if (positions_) {
            const auto place = positions_->place_of(row, recoder_);
            if (!place) {
                refuse_key(row, station.name, place.error());
                return std::nullopt;
            }
            lat = (*place)->lat;
            lon = (*place)->lon;
            if (elevation.empty()) elevation = (*place)->elevation;
            if (station.name.empty()) station.name = (*place)->name;
            if (station.country.empty()) station.country = (*place)->country;
            if (station.name.empty() && station.id.empty())
                station.id = positions_->key_text(row, recoder_);
        }
        if (station.name.empty()) station.name = station.id;
        if (station.country.empty()) station.country = recipe_.country;
        const auto position = position_in_fields(lat, lon);
        if (!position) return refuse_row(row, station.name, lat + "," + lon, position.error());
        station.position = *position;
        station.elevation_m = elevation_m(row, elevation, station.name);
        return station;
    }

    std::nullopt_t refuse_row(const CsvRow& row, const std::string& station,
                              const std::string& value, const std::string& rule) {
        report(suspect_at(row.line(), station, value, rule, "row not used"));
        return std::nullopt;
    }

    /// Once for each key, however many rows have it.
    void refuse_key(const CsvRow& row, const std::string& station, const std::string& rule) {
        const std::string key = positions_->key_text(row, recoder_);
        constexpr std::size_t kMaxKept = 100'000;
        if (keys_refused_.contains(key)) return;
        if (keys_refused_.size() < kMaxKept) keys_refused_.insert(key);
        report(suspect_at(row.line(), station, key, rule, "its rows are not used"));
    }

    double elevation_m(const CsvRow& row, const std::string& text, const std::string& station) {
        if (numbers_.is_missing(text)) return kUnknown;
        const auto metres = numbers_.elevation_m(text);
        if (metres && *metres >= kLowestStationM && *metres <= kHighestStationM) return *metres;
        Suspect found = suspect_at(
            row.line(), station, metres ? text + " " + recipe_.elevation_unit : text,
            metres ? "elevation is impossible" : "elevation cannot be read", "treated as unknown");
        found.variable = variable_name(Variable::elevation);
        report(found);
        return kUnknown;
    }

    /// Fields that would be in the wrong column, and rows that cannot be read, are refused before
    /// anything in them is believed.
    bool is_whole(const CsvRow& row) {
        constexpr std::string_view kEndOfFile = "\x1A";  // of systems long gone
        if (row.size() == 1 && row.field(0) == kEndOfFile) return false;
        const std::string station =
            field(row, columns_.name < 0 ? columns_.station : columns_.name);
        if (!row.problem().empty()) {
            refuse_row(row, station, "", std::string(row.problem()));
        } else if (row.size() != fields_) {
            refuse_row(row, station,
                       std::to_string(row.size()) + " fields, " + std::to_string(fields_) +
                           " in the header",
                       "not as many fields as the header has");
        } else {
            return true;
        }
        return false;
    }

    /// The recipe's variables that the row holds.
    std::vector<std::size_t> variables_in(const CsvRow& row) {
        std::vector<std::size_t> chosen;
        for (std::size_t v = 0; v < rows_of_variables_.size(); ++v)
            if (rows_of_variables_[v].chooses(row, recoder_)) chosen.push_back(v);
        return chosen;
    }

    void take_row(const CsvRow& row) {
        if (!is_whole(row) || !rows_.chooses(row, recoder_)) return;
        signs_.note(row, recoder_);
        const std::vector<std::size_t> variables = variables_in(row);
        if (variables.empty()) return;
        auto station = station_of(row);
        if (!station) return;
        if (recipe_.layout == StationLayout::by_month) {
            take_month(row, std::move(*station), variables);
        } else if (recipe_.variables.front().rows.empty()) {
            take_year_of_one_variable(row, std::move(*station));
        } else {
            Station& owner = owner_of(std::move(*station));
            for (const std::size_t v : variables) take_year(owner.normals[v], v, row, owner);
        }
    }

    /// A wide table of one variable: each row is a station of its own.
    void take_year_of_one_variable(const CsvRow& row, Station station) {
        StationNormals normals = empty_normals(0);
        take_year(normals, 0, row, station);
        note_repetition(station, normals);
        station.normals.push_back(std::move(normals));
        keep(std::move(station));
    }

    void take_year(StationNormals& normals, std::size_t variable, const CsvRow& row,
                   const Station& station) {
        for (std::size_t month = 0; month < kMonths; ++month)
            take_value(normals, variable, month, field(row, columns_.months[month]), row, station);
        note_record(normals, variable, row, station);
        note_single_year(row, station);
    }

    /// A row may be one of a record of which the table has no other year.
    void note_single_year(const CsvRow& row, const Station& station) {
        if (has_single_year_) return;
        std::vector<double> months;
        for (const int column : columns_.months) {
            const std::string text = field(row, column);
            const auto number = numbers_.plain(text);
            if (number && !numbers_.is_missing(text)) months.push_back(*number);
        }
        const std::string year = signs_.year_beside(row, months, recoder_);
        if (year.empty()) return;
        has_single_year_ = true;
        report(suspect_at(row.line(), station.name, year, "a single year is stated, as in a record",
                          "used"));
    }

    void take_month(const CsvRow& row, Station station, const std::vector<std::size_t>& variables) {
        const std::string month_text = field(row, columns_.month);
        const auto month = number_in_field(month_text);
        ++rows_with_month_field_;
        if (!month || *month < 1 || *month > kMonths || *month != std::floor(*month)) {
            if (rows_without_month_++ == 0)
                example_of_month_ =
                    in_quotes(month_text) + " at " + file_name_ + ":" + std::to_string(row.line());
            refuse_row(row, station.name, month_text, "month is not 1 to 12");
            return;
        }
        Station& owner = owner_of(std::move(station));
        for (const std::size_t v : variables) {
            if (columns_.variables[v].value < 0) continue;
            take_value(owner.normals[v], v, static_cast<std::size_t>(*month) - 1,
                       field(row, columns_.variables[v].value), row, owner);
            note_record(owner.normals[v], v, row, owner);
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
                ++counts_[0].repeated;
        }
    }

    /// The station of all rows with this id, name and position.
    Station& owner_of(Station station) {
        RowKey key{station.id, station.name, station.position.lat_deg, station.position.lon_deg};
        const auto [at, is_new] = owners_.try_emplace(std::move(key), table_.stations.size());
        if (is_new) {
            for (std::size_t v = 0; v < recipe_.variables.size(); ++v)
                station.normals.push_back(empty_normals(v));
            keep(std::move(station));
        }
        return table_.stations[at->second];
    }

    void keep(Station station) {
        table_.stations.push_back(std::move(station));
        files_of_stations_.push_back(file_);
    }

    /// The files of an archive come in any order; the stations are as if they came by name.
    void sort_by_file() {
        const std::vector<std::string>& files = table_.files;
        if (std::is_sorted(files.begin(), files.end())) return;
        std::vector<std::size_t> order(table_.stations.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        const auto file_of = [&](std::size_t station) -> const std::string& {
            return files[static_cast<std::size_t>(files_of_stations_[station])];
        };
        std::stable_sort(order.begin(), order.end(),
                         [&](std::size_t a, std::size_t b) { return file_of(a) < file_of(b); });
        std::vector<Station> sorted;
        sorted.reserve(order.size());
        for (const std::size_t station : order)
            sorted.push_back(std::move(table_.stations[station]));
        table_.stations = std::move(sorted);
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
        if (numbers_.is_missing(text)) return;
        const auto refuse = [&](const std::string& rule) {
            Suspect found = suspect_at(row.line(), station.name, text, rule, "value not used");
            found.variable = variable_name(normals.variable);
            found.month = static_cast<int>(month) + 1;
            report(found);
        };
        const auto value = numbers_.value(variable, month, text);
        if (!value) return refuse(value.error());
        ValueCounts& counts = counts_[variable];
        if (normals.lines[month].line != 0) {
            if (as_kept(normals.variable, *value) != normals.values[month]) ++counts.repeated;
            return refuse("month given twice");
        }
        ++counts.seen;
        if (const auto rule = rejection_of(normals.variable, *value)) {
            if (counts.implausible++ == 0)
                counts.example = text + " at " + file_name_ + ":" + std::to_string(row.line());
            return refuse(std::string(rule_name(*rule)));
        }
        normals.values[month] = as_kept(normals.variable, *value);
        normals.lines[month] = {file_, static_cast<std::int32_t>(row.line())};
        ++table_.tally.used;
    }

    /// Wind at 2 m; values slightly above the maximum are set to the maximum.
    double as_kept(Variable variable, double value) const {
        const double clamped = clamped_to_range(variable, value);
        return variable == Variable::wind
                   ? wind_at_two_metres_m_per_s(clamped * recipe_.wind_factor, recipe_.height_m)
                   : clamped;
    }

    /// A number of years has precedence over a flag; of several months the shortest record is used.
    void note_record(StationNormals& normals, std::size_t variable, const CsvRow& row,
                     const Station& station) {
        if (normals.length == RecordLength::typical_year) return;
        const StationColumns::OfVariable& of = columns_.variables[variable];
        const std::string years_text = field(row, of.years);
        const auto years = numbers_.plain(years_text);
        if (years && *years >= 0.0 && !numbers_.is_missing(years_text)) {
            normals.years = std::isnan(normals.years) ? *years : std::min(normals.years, *years);
            normals.length = length_of_years(normals.years);
            return;
        }
        const std::string flag = field(row, of.flag);
        if (flag.empty() || !std::isnan(normals.years)) return;
        const auto length = flags_.length_of(flag);
        if (length) {
            normals.length = shorter_by_flag(normals.length, *length);
            return;
        }
        Suspect found =
            suspect_at(row.line(), station.name, flag, "flag without a meaning in the recipe",
                       "record length not stated");
        found.variable = variable_name(normals.variable);
        report(found);
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
                file_name_ = file_name_of(table_.files[static_cast<std::size_t>(at.file)]);
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
    StationHeaders headers_;
    StationNumbers numbers_;
    RecordSigns signs_;
    FlagReading flags_;
    std::optional<StationPositions> positions_;
    RowChoice rows_;
    std::vector<RowChoice> rows_of_variables_;
    std::vector<ValueCounts> counts_;  ///< by variable
    std::map<RowKey, std::size_t> owners_;
    std::set<std::string> keys_refused_;
    std::int64_t rows_with_month_field_ = 0;
    std::int64_t rows_without_month_ = 0;
    std::string example_of_month_;
    bool has_single_year_ = false;  ///< and it has been reported
    StationTable table_;
    std::vector<std::int32_t> files_of_stations_;  ///< the file of each station's first row
    // Of the file in work.
    std::int32_t file_ = 0;
    std::string file_name_;
    std::size_t fields_ = 0;
    StationColumns columns_;
};

}  // namespace

Result<StationTable> read_station_table(const StationRecipe& recipe, int source) {
    auto recoder = TRY(known_encoding(recipe.format.encoding, recipe.where));
    return StationReading(recipe, source, std::move(recoder)).read();
}

}  // namespace thirstline
