// [[records]] of a recipe: every key is read, and errors are reported by line.
#include <gtest/gtest.h>

#include "tests/support/recipe_text.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::changed;
using test::StationTables;

const std::string kRecordKeys = R"(path = "net/*.csv"
step = "day"
date_order = "month-day-year"
missing = [-9999]
rejected_flags = ["M", "S"]
completeness = { max_missing = 8, max_missing_in_a_row = 2, max_missing_of_sum = 1, share_of_years = 0.7, min_years = 5 }
ground = "irrigated"
columns = { station = "ID", lat = "Lat", lon = "Lon", date = "Date", tmax = "TX", flag_tmax = "QX", rain = "RR", flag = "Q", rain_covers_days = "N" }
units = { tmax = "degF", rain = "in" }
)";

Result<Recipe> record_recipe_of(const std::string& lines, const std::string& period = "1991-2020") {
    StationTables tables;
    tables.add_record({"Network of the valley", lines, period});
    return tables.recipe();
}

void expect_record_error(const std::string& lines, const std::string& says,
                         const std::string& period = "1991-2020") {
    SCOPED_TRACE(says);
    const auto recipe = record_recipe_of(lines, period);
    ASSERT_FALSE(recipe);
    EXPECT_EQ(recipe.error().code, ErrorCode::bad_input);
    EXPECT_TRUE(recipe.error().message.starts_with("merrow.toml:")) << recipe.error().message;
    EXPECT_NE(recipe.error().message.find(says), std::string::npos) << recipe.error().message;
}

TEST(RecordRecipes, EveryKeyArrives) {
    const auto recipe = record_recipe_of(kRecordKeys);
    ASSERT_TRUE(recipe) << recipe.error().message;
    const StationRecipe& stations = recipe->stations.at(0);
    ASSERT_TRUE(stations.record);
    const RecordRecipe& record = *stations.record;
    EXPECT_EQ(record.step, RecordStep::days);
    EXPECT_EQ(record.first_year, 1991);
    EXPECT_EQ(record.last_year, 2020);
    EXPECT_EQ(record.date_column, "Date");
    EXPECT_EQ(record.date_order, DateOrder::month_day_year);
    EXPECT_EQ(record.covered_days_column, "N");
    EXPECT_EQ(record.rejected_flags, (std::vector<std::string>{"M", "S"}));
    EXPECT_EQ(record.completeness.max_missing_of_mean, 8);
    EXPECT_EQ(record.completeness.max_in_a_row_of_mean, 2);
    EXPECT_EQ(record.completeness.max_missing_of_sum, 1);
    EXPECT_EQ(record.completeness.share_of_years, 0.7);
    EXPECT_EQ(record.completeness.min_years, 5);
    EXPECT_TRUE(record.uses_eto_of_days);
    ASSERT_EQ(stations.variables.size(), 2U);
    EXPECT_EQ(stations.variables[0].flag_column, "QX");
    EXPECT_EQ(stations.variables[1].flag_column, "Q");
    EXPECT_EQ(stations.variables[1].unit, "in");
}

TEST(RecordRecipes, HaveTheRulesOfTheWorldMeteorologicalOrganizationByDefault) {
    const std::string plain =
        changed(kRecordKeys,
                "completeness = { max_missing = 8, max_missing_in_a_row = 2, "
                "max_missing_of_sum = 1, share_of_years = 0.7, min_years = 5 }\n",
                "max_missing = 3\n");
    const auto recipe = record_recipe_of(changed(plain, "ground = \"irrigated\"\n", ""));
    ASSERT_TRUE(recipe) << recipe.error().message;
    const RecordRecipe& record = *recipe->stations.at(0).record;
    EXPECT_EQ(record.completeness.max_missing_of_mean, 10);
    EXPECT_EQ(record.completeness.max_in_a_row_of_mean, 4);
    EXPECT_EQ(record.completeness.max_missing_of_sum, 3);
    EXPECT_EQ(record.completeness.min_years, 10);
    EXPECT_FALSE(record.uses_eto_of_days);
}

TEST(RecordRecipes, ReadDatesInParts) {
    const auto parts = record_recipe_of(
        changed(kRecordKeys, "date = \"Date\"", "year = \"Y\", month = \"M\", day = \"D\""));
    ASSERT_TRUE(parts) << parts.error().message;
    EXPECT_EQ(parts->stations.at(0).record->year_column, "Y");
    EXPECT_EQ(parts->stations.at(0).month_column, "M");
    EXPECT_EQ(parts->stations.at(0).record->day_column, "D");
    const auto yday =
        record_recipe_of(changed(kRecordKeys, "date = \"Date\"", "year = \"Y\", yday = \"J\""));
    ASSERT_TRUE(yday) << yday.error().message;
    EXPECT_EQ(yday->stations.at(0).record->day_of_year_column, "J");
    EXPECT_TRUE(yday->stations.at(0).month_column.empty());
}

TEST(RecordRecipes, PlaceAStationThatTheTableDoesNotName) {
    const std::string lines =
        changed(changed(kRecordKeys, "station = \"ID\", lat = \"Lat\", lon = \"Lon\", ", ""),
                "missing = [-9999]",
                "station = { name = \"Ostrey\", lat = 44.6, lon = -37.8, elevation_m = 300 }");
    const auto recipe = record_recipe_of(lines);
    ASSERT_TRUE(recipe) << recipe.error().message;
    ASSERT_TRUE(recipe->stations.at(0).only_station);
    EXPECT_EQ(recipe->stations.at(0).only_station->name, "Ostrey");
    EXPECT_EQ(recipe->stations.at(0).only_station->elevation_m, 300.0);
    expect_record_error(changed(lines, "lat = 44.6", "lat = 94.6"), "lat");
}

const std::string kHourKeys = R"(path = "net/*.csv"
step = "hour"
time = "local"
utc_offset_hours = -7
hour_stamp = "end"
min_hours = 22
columns = { station = "ID", lat = "Lat", lon = "Lon", date = "Date", hour = "H", tmean = "T", rain = "RR" }
units = { tmean = "degC", rain = "mm" }
)";

TEST(RecordRecipes, HoursStateTheirTime) {
    const auto recipe = record_recipe_of(kHourKeys);
    ASSERT_TRUE(recipe) << recipe.error().message;
    const RecordRecipe& record = *recipe->stations.at(0).record;
    EXPECT_EQ(record.step, RecordStep::hours);
    EXPECT_FALSE(record.is_utc);
    EXPECT_EQ(record.utc_offset_hours, -7.0);
    EXPECT_TRUE(record.is_stamped_at_end);
    EXPECT_EQ(record.min_hours, 22);
    EXPECT_EQ(record.hour_column, "H");
    const std::string utc =
        changed(changed(kHourKeys, "\"local\"", "\"utc\""), "utc_offset_hours = -7\n", "");
    EXPECT_TRUE(record_recipe_of(utc));
    EXPECT_TRUE(record_recipe_of(changed(kHourKeys, "hour = \"H\", ", "")));
    expect_record_error(changed(kHourKeys, "utc_offset_hours = -7\n", ""),
                        "lacks the key \"utc_offset_hours\"");
    expect_record_error(changed(kHourKeys, "= -7\n", "= -7.1\n"), "whole or quarter hours");
    expect_record_error(changed(kHourKeys, "= -7\n", "= -17\n"), "utc_offset_hours");
    expect_record_error(changed(kHourKeys, "hour_stamp = \"end\"\n", ""), "hour_stamp");
    expect_record_error(changed(kHourKeys, "time = \"local\"\n", ""), "time");
    expect_record_error(changed(kHourKeys, "min_hours = 22", "min_hours = 25"), "min_hours");
    expect_record_error(
        changed(kHourKeys, "date = \"Date\", hour = \"H\"", "year = \"Y\", yday = \"J\""),
        "names no hour");
    expect_record_error(changed(changed(kHourKeys, "tmean = \"T\"", "temperature_range = \"T\""),
                                "tmean = \"degC\"", "temperature_range = \"degC\""),
                        "[[records]] of hours has no \"temperature_range\"");
    expect_record_error(changed(kRecordKeys, "step = \"day\"", "step = \"day\"\ntime = \"utc\""),
                        "time");
}

TEST(RecordRecipes, RefuseWhatCannotBeMeant) {
    expect_record_error(changed(kRecordKeys, "step = \"day\"", "step = \"week\""), "\"week\"");
    expect_record_error(changed(kRecordKeys, "step = \"day\"\n", ""), "step");
    expect_record_error(kRecordKeys, "is not its first and last year", "about 1990");
    expect_record_error(kRecordKeys, "is not its first and last year", "2020-1991");
    expect_record_error(changed(kRecordKeys, "date = \"Date\", ", ""), "names no date");
    expect_record_error(changed(kRecordKeys, "date = \"Date\"", "date = \"Date\", year = \"Y\""),
                        "names both \"date\" and \"year\"");
    expect_record_error(changed(kRecordKeys, "date = \"Date\"", "year = \"Y\", month = \"M\""),
                        "\"day\"");
    expect_record_error(changed(kRecordKeys, "rejected_flags = [\"M\", \"S\"]\n", ""),
                        "names a column of flags, but not which of them reject a value");
    expect_record_error(
        changed(changed(kRecordKeys, "flag_tmax = \"QX\", ", ""), "flag = \"Q\", ", ""),
        "names no column of flags");
    expect_record_error(changed(kRecordKeys, "missing = [-9999]", "accepted_flags = [\"\"]"),
                        "both \"rejected_flags\" and \"accepted_flags\"");
    expect_record_error(changed(kRecordKeys, "rain = \"in\"", "rain = \"mm/month\""),
                        "is not valid in [[records]] of days");
    expect_record_error(changed(kRecordKeys, "min_years = 5", "min_year = 5"), "min_years");
    expect_record_error(changed(kRecordKeys, "ground = \"irrigated\"", "ground = \"wet\""),
                        "\"wet\"");
    expect_record_error(changed(kRecordKeys, "step = \"day\"", "step = \"day\"\nlayout = \"long\""),
                        "layout");
}

}  // namespace
}  // namespace thirstline
