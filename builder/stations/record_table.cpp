#include "builder/stations/record_table.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

#include "builder/grids/plausible_values.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "builder/records/day_weather.hpp"
#include "builder/records/normals_of_years.hpp"
#include "builder/stations/record_dates.hpp"
#include "builder/stations/record_length.hpp"
#include "builder/stations/record_normals.hpp"
#include "builder/stations/value_counts.hpp"
#include "schema/base/words.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {

namespace {

// The same limits as for rows of tables of normals (station_identity.hpp).
constexpr double kUnmovedKm = 1.0;
constexpr double kUnmovedM = 60.0;
// With fewer rows or values, one fault may be most of them.
constexpr std::int64_t kEnoughToJudge = 12;

bool is_listed(const std::vector<std::string>& words, const std::string& word) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

bool is_same_place(const Station& a, const Station& b) {
    const bool is_far_up = std::abs(a.elevation_m - b.elevation_m) > kUnmovedM;
    return !is_far_up && great_circle_km(a.position, b.position) <= kUnmovedKm;
}

/// A value of the recipe's unit, converted as one of a whole month, as one of the step. An amount
/// without "per" is that of the day or month of the row.
double value_of_step(const StationVariable& variable, RecordStep step, const RecordDay& day,
                     double converted) {
    const double mean_days = kDaysInMonth[static_cast<std::size_t>(day.month)];
    const double days = step == RecordStep::days ? 1.0 : days_in_month(day.year, day.month);
    const std::string& unit = variable.unit;
    const bool is_rate = unit.find("/day") != std::string::npos || unit == "kg/m2/s";
    if (variable.variable == Variable::rain)
        return is_rate ? converted / mean_days * days : converted;
    const bool is_amount =
        variable.variable == Variable::eto || variable.variable == Variable::sunshine_hours;
    return is_amount && !is_rate ? converted * mean_days / days : converted;
}

class RecordReading {
  public:
    RecordReading(const StationRecipe& recipe, int source, const UsedRegion& region,
                  TextRecoder recoder)
        : recipe_(recipe),
          record_(*recipe.record),
          source_(source),
          rows_(recipe, region, std::move(recoder)),
          dates_(record_, recipe.month_column, recipe.where),
          columns_(measured_variables(recipe), record_.reference),
          counts_(recipe.variables.size()) {}

    Result<StationTable> read() {
        TRY(rows_.read([this](const HeaderNames& header) { return begin_file(header); },
                       [this](const CsvRow& row, const Station& station, bool is_same,
                              const std::vector<std::size_t>& variables) {
                           take_row(row, station, is_same, variables);
                       }));
        TRY(check_dates());
        for (std::size_t v = 0; v < counts_.size(); ++v) {
            TRY(check_repetition(v));
            TRY(check_unit(counts_[v], recipe_, recipe_.variables[v]));
        }
        return finished();
    }

  private:
    /// A station at one place.
    struct Part {
        Station station;
        YearsOfStation record;
        EtoComparison eto;
        int reversed_days = 0;  ///< with a minimum temperature above the maximum
        TableLine first;
    };

    static std::vector<Variable> measured_variables(const StationRecipe& recipe) {
        std::vector<Variable> variables;
        for (const StationVariable& variable : recipe.variables)
            variables.push_back(variable.variable);
        return variables;
    }

    Result<void> begin_file(const HeaderNames& header) {
        TRY(dates_.begin_file(header, rows_.file_name()));
        covered_days_column_ = header.index_of(record_.covered_days_column);
        if (covered_days_column_ < 0 && !record_.covered_days_column.empty())
            return fail(
                header.lacking(record_.covered_days_column, rows_.file_name(), recipe_.where));
        return {};
    }

    void take_row(const CsvRow& row, const Station& station, bool is_same,
                  const std::vector<std::size_t>& variables) {
        if (!is_same || parts_.empty()) current_ = part_of(row, station);
        ++rows_with_date_field_;
        const auto day = dates_.date_of(row, rows_.recoder());
        if (!day) {
            const std::string text = dates_.text_of(row, rows_.recoder());
            if (rows_without_date_++ == 0)
                example_of_date_ =
                    in_quotes(text) + " at " + rows_.file_name() + ":" + std::to_string(row.line());
            rows_.refuse_row(row, station.name, text, day.error());
            return;
        }
        if (day->year < record_.first_year || day->year > record_.last_year) {
            ++rows_outside_period_;
            return;
        }
        for (const std::size_t v : variables)
            if (rows_.columns().variables[v].value >= 0) take_value(row, *day, v);
    }

    /// The station of a row: of those of its id, the one at its place.
    std::size_t part_of(const CsvRow& row, const Station& station) {
        std::vector<std::size_t>& of_key =
            parts_of_key_[station.id.empty() ? station.name : station.id];
        double nearest_km = 0.0;
        for (const std::size_t part : of_key) {
            const Station& other = parts_[part].station;
            if (is_same_place(other, station)) return part;
            nearest_km = great_circle_km(other.position, station.position);
        }
        if (!of_key.empty()) {
            char text[64];
            std::snprintf(text, sizeof text, "%.1f km", nearest_km);
            Suspect suspect = rows_.suspect_at(row.line(), station.name, text,
                                               "the station has moved, or its id is shared",
                                               "used as another station");
            suspect.is_used = true;
            rows_.report(suspect);
        }
        of_key.push_back(parts_.size());
        parts_.push_back(
            {station,
             YearsOfStation(columns_.variables(), record_.first_year, record_.last_year),
             {},
             0,
             {rows_.file(), static_cast<std::int32_t>(row.line())}});
        files_of_parts_.push_back(rows_.file());
        return parts_.size() - 1;
    }

    [[nodiscard]] bool is_flag_rejected(const std::string& flag) const {
        return is_listed(record_.rejected_flags, flag) ||
               (!record_.accepted_flags.empty() && !is_listed(record_.accepted_flags, flag));
    }

    void take_value(const CsvRow& row, const RecordDay& day, std::size_t v) {
        const StationColumns::OfVariable& of = rows_.columns().variables[v];
        const std::string text = rows_.field(row, of.value);
        if (rows_.numbers().is_missing(text)) return;
        const StationVariable& variable = recipe_.variables[v];
        Part& part = parts_[current_];
        const auto report = [&](const std::string& rule, const std::string& action) {
            Suspect found = rows_.suspect_at(row.line(), part.station.name, text, rule, action);
            found.variable = variable_name(variable.variable);
            found.month = day.month + 1;
            found.year = day.year;
            rows_.report(found);
        };
        const bool is_daily = record_.step == RecordStep::days;
        if (of.flag >= 0 && is_flag_rejected(rows_.field(row, of.flag))) {
            report("rejected by its flag", "value not used");
            return;
        }
        const auto converted = rows_.numbers().value(v, static_cast<std::size_t>(day.month), text);
        if (!converted) return report(converted.error(), "value not used");
        const double value = value_of_step(variable, record_.step, day, *converted);
        ValueCounts& counts = counts_[v];
        ++counts.seen;
        const auto rule = is_daily ? rejection_of_day(variable.variable, value)
                                   : rejection_of(variable.variable, value);
        if (rule) {
            if (counts.implausible++ == 0)
                counts.example =
                    text + " at " + rows_.file_name() + ":" + std::to_string(row.line());
            return report(std::string(rule_name(*rule)), "value not used");
        }
        const double kept = rows_.numbers().as_kept(variable.variable, value);
        switch (is_daily ? add_day(part, day, covered_days(row, variable.variable), v, kept)
                         : part.record.add_month(day.year, day.month, v, kept)) {
            case AddedValue::given_twice:
                ++counts.repeated;
                report(is_daily ? "day given twice" : "month given twice", "used once");
                break;
            case AddedValue::contradicts:
                ++counts.repeated;
                report(is_daily ? "day given with different values"
                                : "month given with different values",
                       is_daily ? "day not used" : "month not used");
                break;
            default:
                break;
        }
    }

    /// Days that a reading of rain covers; 1 if the table does not say.
    int covered_days(const CsvRow& row, Variable variable) const {
        if (variable != Variable::rain || covered_days_column_ < 0) return 1;
        const auto days = rows_.numbers().plain(rows_.field(row, covered_days_column_));
        constexpr double kMost = 366.0;
        return days && *days >= 1.0 ? static_cast<int>(std::min(*days, kMost)) : 1;
    }

    DaysVisitor calculation_of(Part& part) {
        return [this, &part](DaysOfMonth& days) {
            part.reversed_days += columns_.calculate(
                days, {part.station.position, part.station.elevation_m}, part.eto);
        };
    }

    AddedValue add_day(Part& part, const RecordDay& day, int covered, std::size_t variable,
                       double value) {
        return part.record.add_reading_of_days(day, covered, variable, value, calculation_of(part));
    }

    Result<void> check_dates() const {
        if (rows_without_date_ * 2 <= rows_with_date_field_) return {};
        const bool is_daily = record_.step == RecordStep::days;
        return fail(ErrorCode::bad_input,
                    recipe_.where + ": most rows of " + recipe_.path + " have no date of a " +
                        (is_daily ? "day" : "month") + " (the first is " + example_of_date_ + ")",
                    "name the columns of the date, state date_order, or " +
                        std::string(is_daily ? "step = \"month\" for a table of months"
                                             : "step = \"day\" for a table of days"));
    }

    Result<void> check_repetition(std::size_t v) const {
        const ValueCounts& counts = counts_[v];
        if (counts.repeated < kEnoughToJudge || counts.repeated * 2 <= counts.seen) return {};
        const bool is_daily = record_.step == RecordStep::days;
        return fail(ErrorCode::bad_input,
                    recipe_.where + ": most values of " +
                        std::string(variable_name(recipe_.variables[v].variable)) + " in " +
                        recipe_.path + " repeat a station and " + (is_daily ? "day" : "month"),
                    is_daily
                        ? "if the table has hours, calculate its days first; if it has several "
                          "stations, name the column of the station"
                        : "state step = \"day\" for a table of days, or name the column of the "
                          "station");
    }

    void report_reversed_days(const Part& part) {
        if (part.reversed_days == 0) return;
        Suspect found = rows_.suspect_at(
            part.first.line, part.station.name, counted(part.reversed_days, "day"),
            "minimum temperature of a day above the maximum", "temperatures of such days not used");
        found.file = file_name_of(rows_.table().files[static_cast<std::size_t>(part.first.file)]);
        found.variable = variable_name(Variable::tmin);
        rows_.report(found);
    }

    Result<StationTable> finished() {
        RecordFindings findings;
        findings.source = recipe_.terms.name;
        findings.is_daily = record_.step == RecordStep::days;
        findings.first_year = record_.first_year;
        findings.last_year = record_.last_year;
        findings.rules = record_.completeness;
        findings.rows_outside_period = rows_outside_period_;
        std::vector<Station> stations;
        std::vector<std::int32_t> files;
        for (std::size_t p = 0; p < parts_.size(); ++p) {
            Part& part = parts_[p];
            part.record.end(calculation_of(part));
            report_reversed_days(part);
            Station station = part.station;
            findings.stations.push_back(
                normals_of_record({recipe_, source_, columns_, part.record, part.eto, part.first},
                                  station, findings));
            for (const StationNormals& normals : station.normals)
                rows_.table().tally.used += known_months(normals.values);
            part.record = YearsOfStation({}, record_.first_year, record_.last_year);
            if (station.normals.empty()) continue;
            stations.push_back(std::move(station));
            files.push_back(files_of_parts_[p]);
        }
        if (rows_.table().tally.used == 0 && !rows_.is_all_outside())
            return fail(error_without_normals(findings));
        StationTable table = rows_.take_table(std::move(stations), files);
        table.record = std::move(findings);
        return table;
    }

    [[nodiscard]] Error error_without_normals(const RecordFindings& findings) const {
        if (findings.months_used == 0 && rows_outside_period_ > 0)
            return {ErrorCode::bad_input,
                    recipe_.where + ": " + recipe_.path + " has no usable month from " +
                        std::to_string(record_.first_year) + " to " +
                        std::to_string(record_.last_year),
                    counted(rows_outside_period_, "row") +
                        (rows_outside_period_ == 1 ? " is" : " are") +
                        " outside the period of the recipe"};
        const std::string hint =
            findings.months_used == 0
                ? "compare its columns, units, flags and missing codes with the recipe"
                : "state completeness = { min_years = … } if fewer years are enough";
        return {ErrorCode::bad_input,
                recipe_.where + ": no station of " + recipe_.path +
                    " has a normal: " + counted(findings.months_used, "month") +
                    " of single years can be used, and a normal needs " +
                    counted(record_.completeness.min_years, "year") + " of a calendar month",
                hint};
    }

    const StationRecipe& recipe_;
    const RecordRecipe& record_;
    int source_;
    StationRows rows_;
    RecordDates dates_;
    DayWeatherColumns columns_;
    std::vector<ValueCounts> counts_;  ///< by variable of the recipe
    std::map<std::string, std::vector<std::size_t>> parts_of_key_;
    std::vector<Part> parts_;
    std::vector<std::int32_t> files_of_parts_;
    std::size_t current_ = 0;
    int covered_days_column_ = -1;
    std::int64_t rows_with_date_field_ = 0;
    std::int64_t rows_without_date_ = 0;
    std::int64_t rows_outside_period_ = 0;
    std::string example_of_date_;
};

}  // namespace

Result<StationTable> read_record_table(const StationRecipe& recipe, int source,
                                       const UsedRegion& region) {
    auto recoder = TRY(known_encoding(recipe.format.encoding, recipe.where));
    return RecordReading(recipe, source, region, std::move(recoder)).read();
}

}  // namespace thirstline
