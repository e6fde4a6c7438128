// From hours to days: which day and hour a row belongs to, what a day makes of its hours, and
// clocks that change.
#include "builder/records/hours_of_day.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/records/hour_weather.hpp"

namespace thirstline {
namespace {

constexpr int kNoon = 12 * 60;

void expect_hour(const LocalHour& found, const RecordDay& day, int hour) {
    EXPECT_EQ(found.day, day) << found.day.year << "-" << found.day.month + 1 << "-"
                              << found.day.day;
    EXPECT_EQ(found.hour, hour);
}

TEST(LocalHours, OfStartsAndEnds) {
    const RecordDay day{2015, 6, 13};
    expect_hour(local_hour(day, kNoon, false, 0.0), day, 12);
    expect_hour(local_hour(day, kNoon + 35, false, 0.0), day, 12);
    expect_hour(local_hour(day, kNoon, true, 0.0), day, 11);
    expect_hour(local_hour(day, 24 * 60, true, 0.0), day, 23);
    expect_hour(local_hour(day, 0, true, 0.0), {2015, 6, 12}, 23);
    expect_hour(local_hour(day, 24 * 60, false, 0.0), {2015, 6, 14}, 0);
}

TEST(LocalHours, OfOtherTimeZones) {
    expect_hour(local_hour({2015, 6, 13}, 3 * 60, false, -7.0), {2015, 6, 12}, 20);
    expect_hour(local_hour({2015, 6, 13}, 20 * 60, false, 10.0), {2015, 6, 14}, 6);
    expect_hour(local_hour({2016, 2, 1}, 3 * 60, false, -7.0), {2016, 1, 29}, 20);
    expect_hour(local_hour({2015, 2, 1}, 3 * 60, false, -7.0), {2015, 1, 28}, 20);
    expect_hour(local_hour({2015, 11, 31}, 20 * 60, false, 10.0), {2016, 0, 1}, 6);
    // UTC hours of a zone of half hours belong to the hour in which most of them lies.
    expect_hour(local_hour({2015, 6, 13}, 0, false, 5.5), {2015, 6, 13}, 6);
    // Every hour of local days is met once.
    for (const double ahead : {-12.0, -3.5, 0.0, 5.75, 14.0}) {
        std::array<int, 24> met{};
        for (int hour = 0; hour < 24; ++hour)
            ++met[static_cast<std::size_t>(
                local_hour({2015, 6, 13}, hour * 60, false, ahead).hour)];
        for (const int count : met) EXPECT_EQ(count, 1) << ahead;
    }
}

HoursOfDay day_without(int missing, const RecordDay& day) {
    HoursOfDay hours(day, 1);
    for (int hour = 0; hour < kHoursOfDay; ++hour)
        if (hour != missing) {
            EXPECT_EQ(hours.add(hour, 0, 10.0 + hour), AddedValue::kept);
        }
    return hours;
}

HoursOfDay day_with_double(int hour, const RecordDay& day) {
    HoursOfDay hours = day_without(-1, day);
    EXPECT_EQ(hours.add(hour, 0, 10.0 + hour), AddedValue::given_twice);
    EXPECT_EQ(hours.add(hour, 0, 9.0), AddedValue::contradicts);
    EXPECT_EQ(hours.add(hour, 0, 10.0 + hour), AddedValue::contradicts);
    EXPECT_TRUE(std::isnan(hours.values[0][static_cast<std::size_t>(hour)]));
    return hours;
}

TEST(Clocks, ThatChangeAreFound) {
    ClockChanges clock;
    clock.note(day_without(-1, {2015, 0, 1}));
    clock.note(day_without(2, {2015, 2, 29}));
    EXPECT_FALSE(clock.found());
    clock.note(day_with_double(2, {2015, 9, 25}));
    ASSERT_TRUE(clock.found());
    EXPECT_EQ(clock.found()->lacking, (RecordDay{2015, 2, 29}));
    EXPECT_EQ(clock.found()->doubled, (RecordDay{2015, 9, 25}));
}

TEST(Clocks, OrdinaryGapsAreNone) {
    ClockChanges clock;
    clock.note(day_without(14, {2015, 2, 29}));  // not at night
    clock.note(day_with_double(2, {2015, 9, 25}));
    clock.note(day_without(2, {2014, 2, 30}));  // in another year
    clock.note(day_without(2, {2015, 9, 20}));  // in the same season
    EXPECT_FALSE(clock.found());
}

/// A network at the equator and 0° E, where days are from 6 to 18 h.
const std::vector<Variable> kHourly{Variable::tmean, Variable::dew_point, Variable::wind,
                                    Variable::radiation, Variable::rain};

HoursOfDay whole_day() {
    HoursOfDay hours({2015, 2, 20}, kHourly.size());
    for (int hour = 0; hour < kHoursOfDay; ++hour) {
        const double sun = std::max(0.0, std::sin((hour + 0.5 - 6.0) * 3.14159265 / 12.0));
        const std::vector<double> values{15.0 + hour, 8.0, 2.0, 80.0 * sun, 0.25};
        for (std::size_t v = 0; v < values.size(); ++v)
            EXPECT_EQ(hours.add(hour, v, values[v]), AddedValue::kept);
    }
    return hours;
}

HourWeather::Day day_of(const HoursOfDay& hours) {
    HourWeather::State state;
    return HourWeather(kHourly, ReferenceSurface::short_reference, 20)
        .day_of(hours, {{0.0, 0.0}, 100.0, 0.0, 0.0}, state);
}

double hourly_value(const HourWeather::Day& day, Variable variable) {
    const HourWeather weather(kHourly, ReferenceSurface::short_reference, 20);
    for (std::size_t v = 0; v < weather.of_days().size(); ++v)
        if (weather.of_days()[v] == variable) return day.values[v];
    ADD_FAILURE() << variable_name(variable);
    return 0.0;
}

TEST(HoursToDays, ExtremesMeansAndSums) {
    const HourWeather::Day day = day_of(whole_day());
    EXPECT_DOUBLE_EQ(hourly_value(day, Variable::tmax), 38.0);
    EXPECT_DOUBLE_EQ(hourly_value(day, Variable::tmin), 15.0);
    EXPECT_DOUBLE_EQ(hourly_value(day, Variable::tmean), 26.5);
    EXPECT_NEAR(hourly_value(day, Variable::vapour_pressure), 1.0728, 0.0005);  // e°(8 °C), FAO-56
    EXPECT_DOUBLE_EQ(hourly_value(day, Variable::wind), 2.0);
    EXPECT_DOUBLE_EQ(hourly_value(day, Variable::rain), 6.0);
    EXPECT_NEAR(hourly_value(day, Variable::radiation), 80.0 / 3.14159265, 0.1);
    EXPECT_GT(day.eto_mm, 5.0);
    EXPECT_LT(day.eto_mm, 9.0);
}

TEST(HoursToDays, NeedEnoughHours) {
    HoursOfDay hours = whole_day();
    const auto without = [&hours](std::size_t variable, std::initializer_list<std::size_t> gaps) {
        for (const std::size_t hour : gaps) hours.values[variable][hour] = kUnknown;
    };
    without(0, {3, 4, 5, 6});       // temperature: twenty are enough
    without(2, {3, 4, 5, 6, 7});    // wind: five are too many
    without(3, {0, 1, 2, 22, 23});  // radiation: of the night
    without(4, {12});               // rain: every hour counts
    const HourWeather::Day day = day_of(hours);
    EXPECT_DOUBLE_EQ(hourly_value(day, Variable::tmax), 38.0);
    EXPECT_TRUE(std::isnan(hourly_value(day, Variable::wind)));
    EXPECT_NEAR(hourly_value(day, Variable::radiation), 80.0 / 3.14159265, 0.1);
    EXPECT_TRUE(std::isnan(hourly_value(day, Variable::rain)));
    EXPECT_TRUE(std::isnan(day.eto_mm));
    without(3, {12});
    EXPECT_TRUE(std::isnan(hourly_value(day_of(hours), Variable::radiation)));
}

TEST(HoursToDays, ShowTheTimeOfTheSun) {
    HourWeather::State state;
    const HourWeather weather(kHourly, ReferenceSurface::short_reference, 20);
    const auto after_days = [&](double utc_offset_hours) {
        state = HourWeather::State();
        for (int day = 0; day < 30; ++day)
            (void)weather.day_of(whole_day(), {{0.0, 0.0}, 100.0, utc_offset_hours, 0.0}, state);
        return state.radiation.hours_after_noon();
    };
    EXPECT_NEAR(after_days(0.0), 0.0, 0.2);  // but for the equation of time
    EXPECT_NEAR(after_days(-7.0), 7.0, 0.2);
    EXPECT_NEAR(after_days(9.0), -9.0, 0.2);
    state.radiation.days = 29;
    EXPECT_TRUE(std::isnan(state.radiation.hours_after_noon()));
}

}  // namespace
}  // namespace thirstline
