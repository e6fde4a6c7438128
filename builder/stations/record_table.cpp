#include "builder/stations/record_table.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

#include "builder/grids/plausible_values.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "builder/records/day_weather.hpp"
#include "builder/records/hour_weather.hpp"
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
// By which the light and the warmth of a record's hours may be off their usual time. An hour that
// is taken for the one before or after it is doubtful; clouds of the morning or evening shift less.
constexpr double kMaxHoursOfLight = 1.5;
constexpr double kDoubtfulHoursOfLight = 0.6;
constexpr double kMaxHoursOfWarmth = 4.0;

bool is_listed(const std::vector<std::string>& words, const std::string& word) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

/// "2015-03-29"
std::string date_text(const RecordDay& day) {
    char text[40];
    std::snprintf(text, sizeof text, "%04d-%02d-%02d", day.year, day.month + 1, day.day);
    return text;
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
    const double days = step == RecordStep::months  ? days_in_month(day.year, day.month)
                        : step == RecordStep::hours ? 1.0 / kHoursOfDay
                                                    : 1.0;
    const std::string& unit = variable.unit;
    const bool is_rate = unit.find("/day") != std::string::npos || unit == "kg/m2/s";
    const bool is_mean_of_amounts =
        variable.variable == Variable::eto || variable.variable == Variable::sunshine_hours;
    if (step == RecordStep::hours && is_mean_of_amounts)
        return is_rate ? converted * days : converted * mean_days;
    if (variable.variable == Variable::rain)
        return is_rate ? converted / mean_days * days : converted;
    return is_mean_of_amounts && !is_rate ? converted * mean_days / days : converted;
}

/// The zone of the longitude, if the recipe states none.
double utc_offset_hours(const RecordRecipe& record, LatLon position) {
    constexpr double kDegreesOfHour = 15.0;
    return record.utc_offset_hours.value_or(
        std::round(normalised_lon_deg(position.lon_deg) / kDegreesOfHour));
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
          hours_(record_.step == RecordStep::hours
                     ? std::optional<HourWeather>(std::in_place, measured_variables(recipe),
                                                  record_.reference, record_.min_hours)
                     : std::nullopt),
          columns_(hours_ ? hours_->of_days() : measured_variables(recipe), record_.reference,
                   hours_ && hours_->has_eto() ? EtoOf::hours : EtoOf::day),
          counts_(recipe.variables.size()) {}

    Result<StationTable> read() {
        TRY(rows_.read([this](const HeaderNames& header) { return begin_file(header); },
                       [this](const CsvRow& row, const Station& station, bool is_same,
                              const std::vector<std::size_t>& variables) {
                           take_row(row, station, is_same, variables);
                       }));
        for (Part& part : parts_) close_day(part);
        TRY(check_dates());
        for (std::size_t v = 0; v < counts_.size(); ++v) {
            TRY(check_repetition(v));
            TRY(check_unit(counts_[v], recipe_, recipe_.variables[v]));
        }
        for (const Part& part : parts_) TRY(check_clock(part));
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
        /// Of a record of hours.
        std::optional<HoursOfDay> open_day = {};
        HourWeather::State hour_state = {};
        ClockChanges clock = {};
        int days_in_parts = 0;  ///< whose hours do not follow each other
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
        const auto time = time_of(row);
        if (!time) {
            const std::string text = dates_.text_of(row, rows_.recoder());
            if (rows_without_date_++ == 0)
                example_of_date_ =
                    in_quotes(text) + " at " + rows_.file_name() + ":" + std::to_string(row.line());
            rows_.refuse_row(row, station.name, text, time.error());
            return;
        }
        if (time->day.year < record_.first_year || time->day.year > record_.last_year) {
            ++rows_outside_period_;
            return;
        }
        for (const std::size_t v : variables)
            if (rows_.columns().variables[v].value >= 0) take_value(row, *time, v);
    }

    /// A row's day, and hour if it has one, in local standard time; or the rule that it breaks.
    tl::expected<LocalHour, std::string> time_of(const CsvRow& row) const {
        if (!hours_) {
            const auto day = dates_.date_of(row, rows_.recoder());
            if (!day) return tl::unexpected(day.error());
            return LocalHour{*day, 0};
        }
        const auto time = dates_.time_of(row, rows_.recoder());
        if (!time) return tl::unexpected(time.error());
        constexpr int kMinutesOfHour = 60;
        if (record_.is_stamped_at_end && time->minute % kMinutesOfHour != 0)
            return tl::unexpected<std::string>("a time within an hour, which is not its end");
        const double ahead =
            record_.is_utc ? utc_offset_hours(record_, parts_[current_].station.position) : 0.0;
        return local_hour(time->day, time->minute, record_.is_stamped_at_end, ahead);
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

    void take_value(const CsvRow& row, const LocalHour& time, std::size_t v) {
        const RecordDay& day = time.day;
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
        const std::string step(step_name(record_.step));
        if (of.flag >= 0 && is_flag_rejected(rows_.field(row, of.flag))) {
            report("rejected by its flag", "value not used");
            return;
        }
        const auto converted = rows_.numbers().value(v, static_cast<std::size_t>(day.month), text);
        if (!converted) return report(converted.error(), "value not used");
        const double value = value_of_step(variable, record_.step, day, *converted);
        ValueCounts& counts = counts_[v];
        ++counts.seen;
        const auto rule = rejection_of_step(variable.variable, value);
        if (rule) {
            if (counts.implausible++ == 0)
                counts.example =
                    text + " at " + rows_.file_name() + ":" + std::to_string(row.line());
            return report(std::string(rule_name(*rule)), "value not used");
        }
        const double kept = rows_.numbers().as_kept(variable.variable, value);
        switch (add_step(part, row, time, v, kept)) {
            case AddedValue::given_twice:
                ++counts.repeated;
                report(step + " given twice", "used once");
                break;
            case AddedValue::contradicts:
                ++counts.repeated;
                report(step + " given with different values", step + " not used");
                break;
            default:
                break;
        }
    }

    [[nodiscard]] std::optional<RejectionRule> rejection_of_step(Variable variable,
                                                                 double value) const {
        if (record_.step == RecordStep::hours) return rejection_of_hour(variable, value);
        return record_.step == RecordStep::days ? rejection_of_day(variable, value)
                                                : rejection_of(variable, value);
    }

    AddedValue add_step(Part& part, const CsvRow& row, const LocalHour& time, std::size_t v,
                        double value) {
        if (record_.step == RecordStep::months)
            return part.record.add_month(time.day.year, time.day.month, v, value);
        if (!hours_)
            return part.record.add_reading_of_days(time.day,
                                                   covered_days(row, recipe_.variables[v].variable),
                                                   v, value, calculation_of(part));
        if (part.open_day && !(part.open_day->day == time.day)) close_day(part);
        if (!part.open_day) part.open_day.emplace(time.day, recipe_.variables.size());
        // What sensors give at night.
        const bool is_light = recipe_.variables[v].variable == Variable::radiation;
        return part.open_day->add(time.hour, v, is_light ? std::max(value, 0.0) : value);
    }

    /// The hours of a station's day become values of the day.
    void close_day(Part& part) {
        if (!part.open_day) return;
        const HoursOfDay hours = std::move(*part.open_day);
        part.open_day.reset();
        part.clock.note(hours);
        const double offset = utc_offset_hours(record_, part.station.position);
        const double fraction = record_.is_utc ? offset - std::floor(offset) : 0.0;
        constexpr double kMinutesOfHour = 60.0;
        const double first_minute =
            fraction == 0.0 ? 0.0 : std::fmod(fraction + 0.5, 1.0) * kMinutesOfHour - 30.0;
        const HourWeather::Day day = hours_->day_of(
            hours, {part.station.position, part.station.elevation_m, offset, first_minute},
            part.hour_state);
        bool is_again = false;
        const auto add = [&](std::size_t column, double value) {
            if (std::isnan(value)) return;
            const AddedValue added =
                part.record.add_day(hours.day, column, value, calculation_of(part));
            is_again =
                is_again || added == AddedValue::contradicts || added == AddedValue::given_twice;
        };
        for (std::size_t v = 0; v < day.values.size(); ++v) add(v, day.values[v]);
        if (columns_.computed_eto() >= 0 && hours_->has_eto())
            add(static_cast<std::size_t>(columns_.computed_eto()), day.eto_mm);
        if (is_again) ++part.days_in_parts;
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

    Result<void> check_dates() const {
        if (rows_without_date_ * 2 <= rows_with_date_field_) return {};
        const bool is_monthly = record_.step == RecordStep::months;
        return fail(ErrorCode::bad_input,
                    recipe_.where + ": most rows of " + recipe_.path + " have no date of " +
                        (hours_ ? "an " : "a ") + std::string(step_name(record_.step)) +
                        " (the first is " + example_of_date_ + ")",
                    "name the columns of the date, state date_order, or " +
                        std::string(is_monthly ? "step = \"day\" for a table of days"
                                               : "step = \"month\" for a table of months"));
    }

    /// Errors: the hours of a station are not in local standard time, as their clock or the sun in
    /// them tells.
    Result<void> check_clock(const Part& part) {
        if (!hours_) return {};
        if (const auto change = part.clock.found()) {
            return fail(ErrorCode::bad_input,
                        recipe_.where + ": the hours of \"" + part.station.name + "\" in " +
                            recipe_.path + " follow daylight-saving time: an hour is missing on " +
                            date_text(change->lacking) + ", and one is there twice on " +
                            date_text(change->doubled),
                        "give the hours in standard time or UTC");
        }
        const bool has_light = !std::isnan(part.hour_state.radiation.hours_after_noon());
        const double late = has_light ? part.hour_state.radiation.hours_after_noon()
                                      : part.hour_state.temperature.hours_after_noon();
        // It is warmest two to three hours after noon.
        const double usual = has_light ? 0.0 : 2.5;
        const double most = has_light ? kMaxHoursOfLight : kMaxHoursOfWarmth;
        const double doubtful = has_light ? kDoubtfulHoursOfLight : most;
        if (std::isnan(late) || std::abs(late - usual) < doubtful) return {};
        char text[96];
        std::snprintf(text, sizeof text, "%.1f hours %s solar noon", std::abs(late),
                      late < 0.0 ? "before" : "after");
        const std::string what = has_light ? "brightest " : "warmest ";
        if (std::abs(late - usual) > most) {
            return fail(ErrorCode::bad_input,
                        recipe_.where + ": by the hours of \"" + part.station.name + "\" in " +
                            recipe_.path + " it is " + what + text,
                        "correct time, utc_offset_hours or the longitude");
        }
        report_of_part(part, has_light ? Variable::radiation : Variable::tmean, text,
                       "hours are " + what + "off solar noon: is hour_stamp right?", "used");
        return {};
    }

    Result<void> check_repetition(std::size_t v) const {
        const ValueCounts& counts = counts_[v];
        // Of rows of half hours, every second repeats one.
        const std::int64_t most_of = hours_ ? 3 : 2;
        if (counts.repeated < kEnoughToJudge || counts.repeated * most_of <= counts.seen) return {};
        const std::string step(step_name(record_.step));
        return fail(ErrorCode::bad_input,
                    recipe_.where + ": most values of " +
                        std::string(variable_name(recipe_.variables[v].variable)) + " in " +
                        recipe_.path + " repeat a station and " + step,
                    hours_ ? "if its rows are shorter than an hour, calculate the hours first; if "
                             "it has several stations, name the column of the station"
                    : step == "day"
                        ? "if the table has hours, state step = \"hour\"; if it has several "
                          "stations, name the column of the station"
                        : "state step = \"day\" for a table of days, or name the column of the "
                          "station");
    }

    void report_reversed_days(const Part& part) {
        if (part.reversed_days == 0) return;
        report_of_part(part, Variable::tmin, counted(part.reversed_days, "day"),
                       "minimum temperature of a day above the maximum",
                       "temperatures of such days not used");
    }

    void report_split_days(const Part& part) {
        if (part.days_in_parts == 0) return;
        report_of_part(part, recipe_.variables.front().variable, counted(part.days_in_parts, "day"),
                       "the hours of a day do not follow each other", "such days not used");
    }

    /// Of a station's record as a whole.
    void report_of_part(const Part& part, Variable variable, const std::string& value,
                        const std::string& rule, const std::string& action) {
        Suspect found = rows_.suspect_at(part.first.line, part.station.name, value, rule, action);
        found.file = file_name_of(rows_.table().files[static_cast<std::size_t>(part.first.file)]);
        found.variable = variable_name(variable);
        found.is_used = action == "used";
        rows_.report(found);
    }

    Result<StationTable> finished() {
        RecordFindings findings;
        findings.source = recipe_.terms.name;
        findings.step = record_.step;
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
            report_split_days(part);
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
    std::optional<HourWeather> hours_;  ///< of a record of hours
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
