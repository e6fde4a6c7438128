// Which reference ET ranks the years of a record: the network's own, else that of each month's
// weather, without steps where a driver is missing.
#include "builder/stations/record_years.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/hargreaves.hpp"
#include "builder/reference_et/solar_geometry.hpp"

namespace thirstline {
namespace {

constexpr int kYearsOfWeather = 20;

RecordRecipe recipe_of_twenty_years() {
    RecordRecipe record;
    record.first_year = 2001;
    record.last_year = 2000 + kYearsOfWeather;
    return record;
}

Station station_on_a_plain() {
    Station station;
    station.position = {44.5, -37.5};
    station.elevation_m = 400.0;
    return station;
}

/// `even` and `odd` are the values of July in years of these numbers; other months have `else_`.
MonthsOfVariable july_by_turns(Variable variable, double even, double odd, double else_) {
    MonthsOfVariable months{variable, {}};
    for (int year = 0; year < kYearsOfWeather; ++year)
        for (int month = 0; month < kMonths; ++month)
            months.values.push_back(month != 6 ? else_ : year % 2 == 0 ? even : odd);
    return months;
}

/// Of values that alternate between two, this far apart.
double deviation_of_turns(double difference) {
    return difference / 2.0 * std::sqrt(kYearsOfWeather / (kYearsOfWeather - 1.0));
}

TEST(RecordYears, RankByTheNetworksOwnReferenceEt) {
    using enum Variable;
    const std::vector<MonthsOfVariable> months{
        july_by_turns(eto, 5.0, 6.0, 0.0), july_by_turns(tmax, 30.0, 20.0, 15.0),
        july_by_turns(tmin, 10.0, 10.0, 5.0), july_by_turns(rain, 0.0, 0.0, 0.0)};
    const auto years = years_of_record(months, station_on_a_plain(), recipe_of_twenty_years());
    ASSERT_TRUE(years);
    EXPECT_NEAR(years->standard_deviation_mm, deviation_of_turns(0.8 * 31.0), 1e-6);
    EXPECT_GT(years->slopes.eto_share[6], 0.0);
}

// No range of temperature, no ETo: only July varies, and not February by its days.
TEST(RecordYears, RankByTheWeatherOfEachMonthOtherwise) {
    using enum Variable;
    const std::vector<MonthsOfVariable> months{july_by_turns(tmax, 30.0, 20.0, 5.0),
                                               july_by_turns(tmin, 10.0, 10.0, 5.0),
                                               july_by_turns(rain, 0.0, 0.0, 0.0)};
    const auto years = years_of_record(months, station_on_a_plain(), recipe_of_twenty_years());
    ASSERT_TRUE(years);
    const double ra = monthly_sun(44.5).ra_mj_m2_day[6];
    const double difference =
        hargreaves_eto_mm_per_day(30.0, 10.0, ra) - hargreaves_eto_mm_per_day(20.0, 10.0, ra);
    EXPECT_NEAR(years->standard_deviation_mm, deviation_of_turns(0.8 * 31.0 * difference), 1e-6);
}

// A year without wind is not a calm year.
TEST(RecordYears, TakeTheNormalOfADriverThatIsMissing) {
    using enum Variable;
    std::vector<MonthsOfVariable> months{
        july_by_turns(tmax, 30.0, 30.0, 15.0),         july_by_turns(tmin, 10.0, 10.0, 5.0),
        july_by_turns(vapour_pressure, 1.2, 1.2, 0.7), july_by_turns(radiation, 25.0, 25.0, 10.0),
        july_by_turns(wind, 5.0, kUnknown, 5.0),       july_by_turns(rain, 0.0, 0.0, 0.0)};
    EXPECT_FALSE(years_of_record(months, station_on_a_plain(), recipe_of_twenty_years()))
        << "all years are alike";
    months[4] = july_by_turns(wind, 5.0, 2.0, 5.0);
    EXPECT_TRUE(years_of_record(months, station_on_a_plain(), recipe_of_twenty_years()));
}

TEST(RecordYears, NeedRainAndTemperatureButNoElevation) {
    using enum Variable;
    std::vector<MonthsOfVariable> months{july_by_turns(tmax, 30.0, 20.0, 15.0),
                                         july_by_turns(tmin, 10.0, 10.0, 5.0)};
    EXPECT_FALSE(years_of_record(months, station_on_a_plain(), recipe_of_twenty_years()));
    months.push_back(july_by_turns(rain, 0.0, 0.0, 0.0));
    Station nowhere = station_on_a_plain();
    nowhere.elevation_m = kUnknown;
    const auto without = years_of_record(months, nowhere, recipe_of_twenty_years());
    const auto with = years_of_record(months, station_on_a_plain(), recipe_of_twenty_years());
    ASSERT_TRUE(without && with);
    EXPECT_NEAR(without->slopes.eto_share[6], with->slopes.eto_share[6], 0.005);
    months.erase(months.begin());
    EXPECT_FALSE(years_of_record(months, station_on_a_plain(), recipe_of_twenty_years()));
}

}  // namespace
}  // namespace thirstline
