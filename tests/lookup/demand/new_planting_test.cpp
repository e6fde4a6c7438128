#include "lookup/demand/new_planting.hpp"

#include <gtest/gtest.h>

#include "tests/support/merrow_site.hpp"

namespace thirstline {
namespace {

Zone seeded_lawn(NewPlanting regime) {
    Zone zone = north_lawn();
    zone.new_planting = regime;
    return zone;
}

TEST(NewPlanting, KeepsItsOwnRuns) {
    const NewPlanting regime{6.0, 4, CalendarDay{2027, 4, 20}, {2027, 5, 10}};
    const ZonePlan zone = plan_or_fail(merrow_climate(), {seeded_lawn(regime)}).zones[0];
    ASSERT_TRUE(zone.new_planting);
    EXPECT_EQ(zone.new_planting->minutes_per_run, 6.0);
    EXPECT_EQ(zone.new_planting->runs_per_day, 4);
    EXPECT_EQ(zone.new_planting->days_per_week, 7.0);
    // By hand: 24 minutes a day of 35.56 mm/h on 139.35 m² for 21 days.
    EXPECT_NEAR(zone.new_planting->applied_mm_per_watering_day, 24.0 * 35.56 / 60.0, 1e-9);
    EXPECT_NEAR(zone.new_planting->volume_l.value_or(0.0), 21.0 * 14.224 * 139.35456, 1e-3);
    EXPECT_TRUE(zone.conflicts.empty());
}

// By hand: in May 2027 Mondays fall on 3, 10, 17, 24 and 31; 10 minutes of 35.56 mm/h on 139.35 m².
TEST(NewPlanting, CountsWateringDaysByTheCalendar) {
    LocalRules rules;
    rules.allowed_days = {DayRule::weekdays, {true, false, false, false, false, false, false}};
    const NewPlanting regime{5.0, 2, CalendarDay{2027, 5, 1}, {2027, 5, 31}};
    const ZonePlan zone = plan_or_fail(merrow_climate(), {seeded_lawn(regime)}, rules).zones[0];
    EXPECT_EQ(zone.new_planting->watering_days, 5);
    EXPECT_NEAR(zone.new_planting->l_per_watering_day, 10.0 * 35.56 / 60.0 * 139.35456, 1e-3);
    EXPECT_NEAR(zone.new_planting->volume_l.value_or(0.0),
                5.0 * zone.new_planting->l_per_watering_day, 1e-9);
    rules.allowed_days = {DayRule::odd_dates, {}};
    const ZonePlan odd = plan_or_fail(merrow_climate(), {seeded_lawn(regime)}, rules).zones[0];
    EXPECT_EQ(odd.new_planting->watering_days, 16);
}

TEST(NewPlanting, LeavesTheMonthlyPlanAsItIs) {
    const ZonePlan with =
        plan_or_fail(merrow_climate(), {seeded_lawn({6.0, 4, {}, {2027, 5, 10}})}).zones[0];
    const ZonePlan without = plan_or_fail(merrow_climate(), {north_lawn()}).zones[0];
    EXPECT_EQ(with.volume_l, without.volume_l);
    EXPECT_FALSE(with.new_planting->volume_l);
}

TEST(NewPlanting, NeverCausesRunoffAndSaysSo) {
    // The soil takes 11 minutes at a time (cycle_and_soak_test).
    const ZonePlan zone =
        plan_or_fail(merrow_climate(), {seeded_lawn({15.0, 2, {}, {2027, 5, 10}})}).zones[0];
    EXPECT_NEAR(zone.new_planting->minutes_per_run, 11.0, 1e-9);
    const auto conflicts = conflicts_of(zone, "soil");
    ASSERT_EQ(conflicts.size(), 1U);
    EXPECT_EQ(conflicts[0].month, 5);
    EXPECT_NEAR(conflicts[0].short_minutes_per_week, 4.0 * 2 * 7, 1e-9);
}

TEST(NewPlanting, FollowsLocalRulesAndReportsEachCut) {
    LocalRules rules;
    rules.allowed_days = monday_wednesday_friday();
    rules.window_hours = 0.25;
    rules.runs_per_week_cap = 3;
    const ZonePlan zone =
        plan_or_fail(merrow_climate(), {seeded_lawn({5.0, 6, {}, {2027, 5, 10}})}, rules).zones[0];
    EXPECT_NEAR(zone.new_planting->days_per_week, 3.0, 1e-12);
    EXPECT_EQ(english(zone.new_planting->day_names), "Mon, Wed, Fri");
    EXPECT_EQ(zone.new_planting->runs_per_day, 1);
    const auto lost = [&](const char* rule) {
        double minutes = 0.0;
        for (const Conflict& c : conflicts_of(zone, rule)) {
            if (c.is_of_new_planting) minutes += c.short_minutes_per_week;
        }
        return minutes;
    };
    EXPECT_NEAR(lost("allowed_days"), 5.0 * 6 * 4, 1e-9);       // four of seven days
    EXPECT_NEAR(lost("window_hours"), 5.0 * 3 * 3, 1e-9);       // three of six runs
    EXPECT_NEAR(lost("runs_per_week_cap"), 5.0 * 2 * 3, 1e-9);  // two more
}

}  // namespace
}  // namespace thirstline
