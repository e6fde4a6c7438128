#include "builder/stations/station_table.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>

#include "builder/grids/plausible_values.hpp"
#include "builder/inputs/table_fields.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "builder/stations/record_length.hpp"
#include "builder/stations/station_rows.hpp"
#include "builder/stations/value_counts.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

/// The identity of a row's station, if several rows make one station.
using RowKey = std::tuple<std::string, std::string, double, double>;

class StationReading {
  public:
    StationReading(const StationRecipe& recipe, int source, const UsedRegion& region,
                   TextRecoder recoder)
        : recipe_(recipe),
          source_(source),
          rows_(recipe, region, std::move(recoder)),
          flags_(recipe.flags),
          counts_(recipe.variables.size()) {}

    Result<StationTable> read() {
        TRY(rows_.read([](const HeaderNames&) { return Result<void>{}; },
                       [this](const CsvRow& row, const Station& station, bool,
                              const std::vector<std::size_t>& variables) {
                           take_row(row, station, variables);
                       }));
        const RecordSigns& signs = rows_.signs();
        for (std::size_t v = 0; v < counts_.size(); ++v) {
            TRY(check_repetition(counts_[v], recipe_, recipe_.variables[v],
                                 rows_.table().files.size(), signs));
            TRY(check_unit(counts_[v], recipe_, recipe_.variables[v]));
        }
        TRY(check_months());
        flags_.drop_doubtful(stations_, recipe_.terms.period);
        drop_constant_years();
        if (rows_.table().tally.used == 0 && !rows_.is_all_outside()) {
            return fail(ErrorCode::bad_input,
                        recipe_.where + ": no row of " + recipe_.path + " can be used as a station",
                        signs.suspicion().empty()
                            ? "compare its columns, units and missing codes with the recipe"
                            : signs.suspicion());
        }
        return rows_.take_table(std::move(stations_), files_of_stations_);
    }

  private:
    /// A day of the year passes for a month, until the thirteenth. A thirteenth row a station, of
    /// the year, is no fault.
    Result<void> check_months() const {
        const bool has_signs = rows_.signs().step() != TimeStep::none;
        if (rows_without_month_ * (has_signs ? 4 : 2) <= rows_with_month_field_) return {};
        if (has_signs) return fail(rows_.signs().error(recipe_.where, recipe_.path));
        return fail(ErrorCode::bad_input,
                    recipe_.where + ": column \"" + recipe_.month_column + "\" of " + recipe_.path +
                        " has no month (1 to 12) in most rows (the first is " + example_of_month_ +
                        ")",
                    "name the column of the month's number");
    }

    void take_row(const CsvRow& row, const Station& station,
                  const std::vector<std::size_t>& variables) {
        if (recipe_.layout == StationLayout::by_month) {
            take_month(row, station, variables);
        } else if (recipe_.variables.front().rows.empty()) {
            take_year_of_one_variable(row, station);
        } else {
            Station& owner = owner_of(station);
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
            take_value(normals, variable, month, rows_.field(row, rows_.columns().months[month]),
                       row, station);
        note_record(normals, variable, row, station);
        note_single_year(row, station);
    }

    /// A row may be one of a record of which the table has no other year.
    void note_single_year(const CsvRow& row, const Station& station) {
        if (has_single_year_) return;
        std::vector<double> months;
        for (const int column : rows_.columns().months) {
            const std::string text = rows_.field(row, column);
            const auto number = rows_.numbers().plain(text);
            if (number && !rows_.numbers().is_missing(text)) months.push_back(*number);
        }
        const std::string year = rows_.signs().year_beside(row, months, rows_.recoder());
        if (year.empty()) return;
        has_single_year_ = true;
        Suspect suspect = rows_.suspect_at(row.line(), station.name, year,
                                           "a single year is stated, as in a record", "used");
        suspect.is_used = true;
        rows_.report(suspect);
    }

    void take_month(const CsvRow& row, Station station, const std::vector<std::size_t>& variables) {
        const std::string month_text = rows_.field(row, rows_.columns().month);
        const auto month = number_in_field(month_text);
        ++rows_with_month_field_;
        if (!month || *month < 1 || *month > kMonths || *month != std::floor(*month)) {
            if (rows_without_month_++ == 0)
                example_of_month_ = in_quotes(month_text) + " at " + rows_.file_name() + ":" +
                                    std::to_string(row.line());
            rows_.refuse_row(row, station.name, month_text, "month is not 1 to 12");
            return;
        }
        Station& owner = owner_of(std::move(station));
        for (const std::size_t v : variables) {
            if (rows_.columns().variables[v].value < 0) continue;
            take_value(owner.normals[v], v, static_cast<std::size_t>(*month) - 1,
                       rows_.field(row, rows_.columns().variables[v].value), row, owner);
            note_record(owner.normals[v], v, row, owner);
        }
    }

    /// A wide table has one row per station; a table of yearly records has one per year.
    void note_repetition(const Station& station, const StationNormals& normals) {
        const RowKey key{station.id, station.name, station.position.lat_deg,
                         station.position.lon_deg};
        const auto [at, is_new] = owners_.try_emplace(key, stations_.size());
        if (is_new) return;
        const Monthly<double>& first = stations_[at->second].normals.front().values;
        for (std::size_t month = 0; month < kMonths; ++month) {
            if (!std::isnan(first[month]) && !std::isnan(normals.values[month]) &&
                first[month] != normals.values[month])
                ++counts_[0].repeated;
        }
    }

    /// The station of all rows with this id, name and position.
    Station& owner_of(Station station) {
        RowKey key{station.id, station.name, station.position.lat_deg, station.position.lon_deg};
        const auto [at, is_new] = owners_.try_emplace(std::move(key), stations_.size());
        if (is_new) {
            for (std::size_t v = 0; v < recipe_.variables.size(); ++v)
                station.normals.push_back(empty_normals(v));
            keep(std::move(station));
        }
        return stations_[at->second];
    }

    void keep(Station station) {
        stations_.push_back(std::move(station));
        files_of_stations_.push_back(rows_.file());
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
        if (rows_.numbers().is_missing(text)) return;
        const auto refuse = [&](const std::string& rule) {
            Suspect found =
                rows_.suspect_at(row.line(), station.name, text, rule, "value not used");
            found.variable = variable_name(normals.variable);
            found.month = static_cast<int>(month) + 1;
            rows_.report(found);
        };
        const auto value = rows_.numbers().value(variable, month, text);
        if (!value) return refuse(value.error());
        ValueCounts& counts = counts_[variable];
        if (normals.lines[month].line != 0) {
            if (rows_.numbers().as_kept(normals.variable, *value) != normals.values[month])
                ++counts.repeated;
            return refuse("month given twice");
        }
        ++counts.seen;
        if (const auto rule = rejection_of(normals.variable, *value)) {
            if (counts.implausible++ == 0)
                counts.example =
                    text + " at " + rows_.file_name() + ":" + std::to_string(row.line());
            return refuse(std::string(rule_name(*rule)));
        }
        normals.values[month] = rows_.numbers().as_kept(normals.variable, *value);
        normals.lines[month] = {rows_.file(), static_cast<std::int32_t>(row.line())};
        ++rows_.table().tally.used;
    }

    /// A number of years has precedence over a flag; of several months the shortest record is used.
    void note_record(StationNormals& normals, std::size_t variable, const CsvRow& row,
                     const Station& station) {
        if (normals.length == RecordLength::typical_year) return;
        const StationColumns::OfVariable& of = rows_.columns().variables[variable];
        const std::string years_text = rows_.field(row, of.years);
        const auto years = rows_.numbers().plain(years_text);
        if (years && *years >= 0.0 && !rows_.numbers().is_missing(years_text)) {
            normals.years = std::isnan(normals.years) ? *years : std::min(normals.years, *years);
            normals.length = length_of_years(normals.years);
            return;
        }
        const std::string flag = rows_.field(row, of.flag);
        if (flag.empty() || !std::isnan(normals.years)) return;
        const auto length = flags_.length_of(flag);
        if (length) {
            normals.length = shorter_by_flag(normals.length, *length);
            return;
        }
        Suspect found =
            rows_.suspect_at(row.line(), station.name, flag, "flag without a meaning in the recipe",
                             "record length not stated");
        found.variable = variable_name(normals.variable);
        rows_.report(found);
    }

    /// Twelve equal months are not a climate but a gap filler; only rain can really be 0 all year.
    void drop_constant_years() {
        for (Station& station : stations_) {
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
                Suspect found =
                    rows_.suspect_at(at.line, station.name, value_text(normals.variable, first),
                                     "twelve equal months", "values not used");
                found.file = file_name_of(rows_.table().files[static_cast<std::size_t>(at.file)]);
                found.variable = variable_name(normals.variable);
                rows_.report(found);
                normals.values = kUnknownYear;
                rows_.table().tally.used -= kMonths;
            }
        }
    }

    const StationRecipe& recipe_;
    int source_;
    StationRows rows_;
    FlagReading flags_;
    std::vector<ValueCounts> counts_;  ///< by variable
    std::map<RowKey, std::size_t> owners_;
    std::int64_t rows_with_month_field_ = 0;
    std::int64_t rows_without_month_ = 0;
    std::string example_of_month_;
    bool has_single_year_ = false;  ///< and it has been reported
    std::vector<Station> stations_;
    std::vector<std::int32_t> files_of_stations_;  ///< the file of each station's first row
};

}  // namespace

Result<StationTable> read_station_table(const StationRecipe& recipe, int source,
                                        const UsedRegion& region) {
    auto recoder = TRY(known_encoding(recipe.format.encoding, recipe.where));
    return StationReading(recipe, source, region, std::move(recoder)).read();
}

}  // namespace thirstline
