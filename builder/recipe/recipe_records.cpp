#include "builder/recipe/recipe_records.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "builder/grids/year_range.hpp"

namespace thirstline {

namespace {

/// "1991-2020"
void read_period(RecipeTable& table, const std::string& period, RecordRecipe& record) {
    const std::optional<YearRange> years = year_range_of(period);
    record.first_year = years.value_or(YearRange{}).first;
    record.last_year = years.value_or(YearRange{}).last;
    if (!years && !period.empty())
        table.fail_at("period", "the period \"" + period +
                                    "\" of [[records]] is not its first and last year; write it "
                                    "such as \"1991-2020\"");
}

/// The keys of hours: in which time they are, and what the time of an hour is.
void read_times(RecipeTable& table, RecordRecipe& record) {
    record.is_utc = table.required_choice("time", {"local", "utc"}) == "utc";
    constexpr double kWesternmost = -12.0;
    constexpr double kEasternmost = 14.0;
    constexpr double kQuarters = 4.0;
    record.utc_offset_hours = table.optional_number("utc_offset_hours", kWesternmost, kEasternmost);
    const double quarters = record.utc_offset_hours.value_or(0.0) * kQuarters;
    if (quarters != std::floor(quarters))
        table.fail_at("utc_offset_hours", "utc_offset_hours must be whole or quarter hours");
    if (table.has_text("time") && !record.is_utc && !record.utc_offset_hours)
        table.fail_with_missing(
            "[[records]] of hours in local time lacks the key \"utc_offset_hours\" of its standard "
            "time; add a line such as utc_offset_hours = -7");
    record.is_stamped_at_end = table.required_choice("hour_stamp", {"start", "end"}) == "end";
    record.min_hours = static_cast<int>(table.whole_number("min_hours", record.min_hours, 1, 24));
}

/// The key completeness: a name, or numbers that replace those of "wmo".
void read_completeness(RecipeTable& table, const std::string& file, RecipeFaults& faults,
                       CompletenessRules& rules) {
    if (!table.has_table("completeness")) {
        rules = table.choice("completeness", {"wmo", "strict"}, "wmo") == "strict"
                    ? strict_completeness()
                    : wmo_completeness();
        return;
    }
    RecipeTable numbers(*table.table("completeness"), "completeness of [[records]]", file, faults);
    constexpr int kDays = 30;
    const auto read = [&numbers](std::string_view key, int& value, int least, int greatest) {
        value = static_cast<int>(numbers.whole_number(key, value, least, greatest));
    };
    read("max_missing", rules.max_missing_of_mean, 0, kDays);
    read("max_missing_in_a_row", rules.max_in_a_row_of_mean, 0, kDays);
    read("max_missing_of_sum", rules.max_missing_of_sum, 0, kDays);
    read("min_years", rules.min_years, 1, kMaxYears);
    rules.share_of_years = numbers.number("share_of_years", rules.share_of_years, 0.0, 1.0);
    numbers.refuse_other_keys();
}

/// The key station, for a table of one station without columns that name it.
std::optional<OnlyStation> read_only_station(RecipeTable& table, const std::string& file,
                                             RecipeFaults& faults) {
    const toml::table* found = table.table("station");
    if (found == nullptr) return std::nullopt;
    RecipeTable of_station(*found, "station of [[records]]", file, faults);
    OnlyStation station;
    station.name = of_station.required_text("name", "\"Upper Merrow\"");
    constexpr double kPole = 90.0;
    constexpr double kDateLine = 180.0;
    station.position.lat_deg = of_station.required_number("lat", "44.51", -kPole, kPole);
    station.position.lon_deg = of_station.required_number("lon", "-37.55", -kDateLine, kDateLine);
    constexpr double kLowestM = -450.0;
    constexpr double kHighestM = 6500.0;
    station.elevation_m = of_station.optional_number("elevation_m", kLowestM, kHighestM)
                              .value_or(std::numeric_limits<double>::quiet_NaN());
    of_station.refuse_other_keys();
    if (table.has("positions"))
        table.fail_at("station",
                      "[[records]] has both \"station\" and \"positions\"; leave one of them out");
    return station;
}

void read_flags_of_values(RecipeTable& table, RecordRecipe& record) {
    record.rejected_flags = table.texts("rejected_flags", {});
    record.accepted_flags = table.texts("accepted_flags", {});
    if (table.has("rejected_flags") && table.has("accepted_flags"))
        table.fail_at("accepted_flags",
                      "[[records]] has both \"rejected_flags\" and \"accepted_flags\"; leave one "
                      "of them out");
}

/// Flags that are read must be judged, and flags that are judged must be read.
void check_flags(RecipeTable& table, const StationRecipe& stations) {
    const bool has_columns =
        std::any_of(stations.variables.begin(), stations.variables.end(),
                    [](const StationVariable& variable) { return !variable.flag_column.empty(); });
    const bool has_flags =
        !stations.record->rejected_flags.empty() || !stations.record->accepted_flags.empty();
    if (has_columns && !has_flags) {
        table.fail_at("columns",
                      "columns of [[records]] names a column of flags, but not which of them "
                      "reject a value; add a line such as rejected_flags = [\"M\"], or "
                      "accepted_flags = [\"\", \"E\"]");
    } else if (has_flags && !has_columns) {
        table.fail_at(table.has("rejected_flags") ? "rejected_flags" : "accepted_flags",
                      "[[records]] says which flags reject a value, but names no column of flags; "
                      "add to columns such as flag = \"QFLAG\", or flag_tmax = \"TMAX_FLAG\"");
    }
}

/// What the values of a day are made from (hour_weather.hpp).
bool is_variable_of_hours(Variable variable) {
    using enum Variable;
    for (const Variable known :
         {tmax, tmin, tmean, vapour_pressure, specific_humidity, dew_point, relative_humidity,
          vapour_pressure_deficit, wind, radiation, sunshine_hours, rain, eto})
        if (variable == known) return true;
    return false;
}

/// Amounts of a month are not those of a day, and counts of days have no value on one.
void check_units(RecipeTable& table, const StationRecipe& stations) {
    const RecordStep step = stations.record->step;
    if (step == RecordStep::months) return;
    const std::string steps = std::string(step_name(step)) + "s";
    for (const StationVariable& variable : stations.variables) {
        const std::string name(variable_name(variable.variable));
        const bool is_of_hours = is_variable_of_hours(variable.variable);
        if (variable.variable == Variable::rain_days ||
            (step == RecordStep::hours && !is_of_hours)) {
            table.fail_at("columns",
                          "[[records]] of " + steps + " has no \"" + name + "\"; leave it out");
        } else if (variable.unit.ends_with("/month")) {
            table.fail_at("units", "the unit \"" + variable.unit + "\" of \"" + name +
                                       "\" is not valid in [[records]] of " + steps +
                                       "; give that of a day, such as \"" +
                                       variable.unit.substr(0, variable.unit.find('/')) + "\"");
        }
    }
}

}  // namespace

StationRecipe read_records(RecipeTable table, const Recipe& recipe, const std::string& file,
                           RecipeFaults& faults) {
    StationRecipe stations;
    read_table_keys(table, kRecordsTable, recipe, file, faults, stations);
    stations.layout = StationLayout::by_month;
    RecordRecipe& record = stations.record.emplace();
    const std::string step = table.required_choice("step", {"hour", "day", "month"});
    record.step = step == "month"  ? RecordStep::months
                  : step == "hour" ? RecordStep::hours
                                   : RecordStep::days;
    if (record.step == RecordStep::hours) read_times(table, record);
    read_period(table, stations.terms.period, record);
    const std::string order = table.choice(
        "date_order", {"year-month-day", "month-day-year", "day-month-year"}, "year-month-day");
    record.date_order = order == "month-day-year"   ? DateOrder::month_day_year
                        : order == "day-month-year" ? DateOrder::day_month_year
                                                    : DateOrder::year_month_day;
    read_completeness(table, file, faults, record.completeness);
    if (table.has("max_missing"))
        record.completeness.max_missing_of_sum =
            static_cast<int>(table.whole_number("max_missing", 0, 0, 30));
    read_flags_of_values(table, record);
    stations.only_station = read_only_station(table, file, faults);
    record.reference = recipe.reference;
    const bool is_irrigated =
        table.choice("ground", {"irrigated", "not stated"}, "not stated") == "irrigated";
    record.uses_eto_of_days = is_irrigated || !recipe.site_correction;
    read_variable_keys(table, recipe, file, faults, stations);
    check_flags(table, stations);
    check_units(table, stations);
    table.refuse_other_keys();
    return stations;
}

}  // namespace thirstline
