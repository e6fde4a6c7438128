#include "lookup/demand/water_window.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

LocalRules barred(int from_hour, int to_hour, Weekdays weekdays = kEveryDay) {
    LocalRules rules;
    rules.barred_hours = {{weekdays, from_hour * 60, to_hour * 60}};
    return rules;
}

TEST(WaterWindow, IsTheWholeDayWithoutRules) {
    const WaterWindow window = water_window({});
    EXPECT_EQ(window.minutes, 1440.0);
    EXPECT_FALSE(window.is_cut_by_barred_hours);
}

// By hand: 10:00 to 18:00 barred leaves 18:00 to 10:00 of the next day, 16 hours. Where days are
// limited a night must not pass midnight: 0:00 to 10:00.
TEST(WaterWindow, IsTheLongestStretchOutsideBarredHours) {
    LocalRules rules = barred(10, 18);
    EXPECT_EQ(water_window(rules).from_minutes, 18 * 60.0);
    EXPECT_EQ(water_window(rules).minutes, 16 * 60.0);
    EXPECT_TRUE(water_window(rules).is_cut_by_barred_hours);
    rules.days_per_week_cap = 2;
    EXPECT_EQ(water_window(rules).from_minutes, 0.0);
    EXPECT_EQ(water_window(rules).minutes, 10 * 60.0);
}

TEST(WaterWindow, LeavesOutHoursThatAreBarredOnOtherDaysOnly) {
    LocalRules rules = barred(0, 9, {false, false, false, false, false, true, true});
    rules.allowed_days = {DayRule::weekdays, {true, false, true, false, false, false, false}};
    EXPECT_EQ(water_window(rules).minutes, 1440.0);
    rules.allowed_days.weekdays[5] = true;
    EXPECT_EQ(water_window(rules).minutes, 15 * 60.0);
}

TEST(WaterWindow, IsCutFromAWindowThatIsGiven) {
    LocalRules rules = barred(5, 24);
    rules.window_hours = 8.0;
    EXPECT_EQ(window_minutes(rules), 5 * 60.0);
    rules.window_start = ClockTime{22 * 60};  // to 6:00; barred from 5:00, and from 22:00 to 24:00
    EXPECT_EQ(water_window(rules).from_minutes, 0.0);
    EXPECT_EQ(window_minutes(rules), 5 * 60.0);
    rules.barred_hours.clear();
    EXPECT_EQ(water_window(rules).from_minutes, 22 * 60.0);
    EXPECT_EQ(window_minutes(rules), 8 * 60.0);
    EXPECT_FALSE(water_window(rules).is_cut_by_barred_hours);
}

// By hand: a night of 95 minutes that ends at 6:00 begins at 4:25.
TEST(StartOfNight, EndsAtSixWhereTheWindowAllowsIt) {
    EXPECT_EQ(start_of_night({}, 95.0), 4 * 60.0 + 25.0);
    EXPECT_EQ(start_of_night({}, 93.0), 4 * 60.0 + 25.0);  // in steps of five minutes
    EXPECT_EQ(start_of_night({}, 500.0), 0.0);
    EXPECT_EQ(start_of_night({20 * 60.0, 240.0}, 60.0), 23 * 60.0);
    EXPECT_EQ(start_of_night({8 * 60.0, 120.0}, 60.0), 9 * 60.0);
    // 18:00 to 10:00: ends at 6:00 of the next day.
    EXPECT_EQ(start_of_night({18 * 60.0, 16 * 60.0}, 60.0), 29 * 60.0);
}

// By hand: 9 hours before 6:00 is 21:00; 15 hours from 18:00 end at 9:00.
TEST(StartOfNight, IsInTheEveningBeforeIfNoRuleForbidsIt) {
    const WaterWindow all_day = water_window({});
    EXPECT_EQ(start_of_night(all_day, 300.0), 60.0);
    EXPECT_EQ(start_of_night(all_day, 9 * 60.0), 21 * 60.0);
    EXPECT_EQ(start_of_night(all_day, 15 * 60.0), 18 * 60.0);
    LocalRules rules;
    rules.days_per_week_cap = 2;
    EXPECT_EQ(start_of_night(water_window(rules), 9 * 60.0), 0.0);
}

TEST(PracticalNight, IsTenHoursUnlessAWindowIsGiven) {
    EXPECT_EQ(practical_night_minutes({}), 600.0);
    EXPECT_EQ(practical_night_minutes(barred(5, 24)), 300.0);
    LocalRules rules;
    rules.window_hours = 12.0;
    EXPECT_EQ(practical_night_minutes(rules), 720.0);
}

TEST(NightEnds, LateAfterSix) {
    EXPECT_FALSE(ends_late(60.0, 360.0));
    EXPECT_TRUE(ends_late(0.0, 432.0));
    EXPECT_FALSE(ends_late(21 * 60.0, 30 * 60.0));
    EXPECT_TRUE(ends_late(18 * 60.0, 33 * 60.0));
}

}  // namespace
}  // namespace thirstline
