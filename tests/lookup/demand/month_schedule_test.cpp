#include "lookup/demand/month_schedule.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "lookup/demand/watering_night.hpp"
#include "tests/support/sample_months.hpp"

namespace thirstline {
namespace {

ZoneTask lawn_task(double gross_mm) {
    ZoneTask task;
    task.gross_mm = gross_mm;
    task.rate_mm_per_h = 30.0;
    task.longest_cycle_minutes = 11.0;
    task.soak_minutes = 60.0;
    task.gross_per_net = 1.25;
    task.usable_storage_mm = 13.5;
    task.root_zone_mm = 27.0;
    task.interval_days = 3;
    return task;
}

std::vector<DayPattern> patterns_of(const AllowedDays& allowed = {}) {
    return day_patterns({allowed, std::nullopt}, kJuly);
}

/// All zones on the same days' patterns.
MonthSchedule scheduled(const std::vector<ZoneTask>& tasks, const std::vector<DayPattern>& patterns,
                        double window_hours = 24.0) {
    MonthLimits limits;
    limits.window_minutes = window_hours * 60.0;
    return month_schedule(tasks, std::vector<ZonePatterns>(tasks.size(), &patterns), limits);
}

bool is_on(const ZoneRuns& runs, int slot) {
    return (runs.days.slots >> slot & 1U) != 0;
}

double minutes_of_slot(const MonthSchedule& schedule, int slot) {
    std::vector<Cycles> on;
    for (const ZoneRuns& runs : schedule.zones) {
        if (is_on(runs, slot)) on.push_back(runs.cycles);
    }
    return night_minutes(on);
}

TEST(MonthSchedule, TakesTheFewestDaysThatTheSoilLasts) {
    const MonthSchedule schedule = scheduled({lawn_task(150.0)}, patterns_of());
    EXPECT_EQ(schedule.zones[0].days.nominal_per_week, 3.0);
    EXPECT_EQ(schedule.zones[0].days.longest_gap_days, 3);
}

TEST(MonthSchedule, ZonesShareTheirNightsWhereTheyFit) {
    const MonthSchedule schedule = scheduled({lawn_task(150.0), lawn_task(140.0)}, patterns_of());
    EXPECT_EQ(schedule.zones[0].days.slots, schedule.zones[1].days.slots);
}

TEST(MonthSchedule, SpreadsNightsBeforeItAddsDays) {
    // By hand: each alone takes 10.5 + 60 + 10.5 minutes, both together 10.5 more: 91.6.
    const MonthSchedule schedule =
        scheduled({lawn_task(140.0), lawn_task(140.0)}, patterns_of(), 1.5);
    const ZoneRuns& first = schedule.zones[0];
    const ZoneRuns& second = schedule.zones[1];
    EXPECT_EQ(first.days.slots & second.days.slots, 0U);
    EXPECT_EQ(first.days.nominal_per_week, 3.0);
    EXPECT_EQ(second.days.nominal_per_week, 3.0);
    EXPECT_EQ(first.lost_to_window_minutes + second.lost_to_window_minutes, 0.0);
}

// A wet month: 40 mm net at 4 mm a day of need. Without counting on rain, three days of 3.0 mm net;
// counting on it, waits of up to 5 days: two days of 4.5 mm.
TEST(MonthSchedule, CountsOnCreditedRainBeforeRunsGetTooShort) {
    ZoneTask task = lawn_task(50.0);
    task.base_days_per_week = 3.0;
    EXPECT_EQ(scheduled({task}, patterns_of()).zones[0].days.nominal_per_week, 3.0);
    task.wait_with_rain_days = 5;
    const ZoneRuns runs = scheduled({task}, patterns_of()).zones[0];
    EXPECT_EQ(runs.days.nominal_per_week, 2.0);
    EXPECT_LE(runs.days.longest_gap_days, 5);
}

TEST(MonthSchedule, DoesNotCountOnRainWhereRunsWetTheRoots) {
    ZoneTask task = lawn_task(150.0);
    task.base_days_per_week = 3.0;
    const auto without = scheduled({task}, patterns_of()).zones[0].days;
    task.wait_with_rain_days = 7;
    EXPECT_EQ(scheduled({task}, patterns_of()).zones[0].days.slots, without.slots);
}

TEST(MonthSchedule, EveryNightOfRandomSitesFitsItsWindow) {
    std::mt19937 random(20'250'704);
    const auto between = [&](double least, double greatest) {
        return std::uniform_real_distribution<double>(least, greatest)(random);
    };
    const auto whole = [&](int least, int greatest) {
        return std::uniform_int_distribution<int>(least, greatest)(random);
    };
    int cut = 0;
    for (int site = 0; site < 400; ++site) {
        std::vector<ZoneTask> tasks;
        for (int z = whole(1, 6); z > 0; --z) {
            ZoneTask task = lawn_task(between(0.0, 250.0));
            task.rate_mm_per_h = between(5.0, 60.0);
            task.longest_cycle_minutes = between(4.0, 40.0);
            task.soak_minutes = between(10.0, 120.0);
            task.interval_days = whole(0, 12);
            task.base_days_per_week = whole(1, 7);
            tasks.push_back(task);
        }
        AllowedDays allowed;
        allowed.rule = whole(0, 1) == 0 ? DayRule::any : DayRule::odd_dates;
        const double window_hours = between(0.3, 8.0);
        const MonthSchedule schedule = scheduled(tasks, patterns_of(allowed), window_hours);
        for (int slot = 0; slot < 31; ++slot) {
            ASSERT_LE(minutes_of_slot(schedule, slot), window_hours * 60.0 + 1e-5) << site;
        }
        for (std::size_t z = 0; z < tasks.size(); ++z) {
            const ZoneRuns& runs = schedule.zones[z];
            if (runs.is_too_little) continue;
            const double lost = runs.lost_to_runs_cap_minutes + runs.lost_to_soil_minutes;
            const double wanted_mm = (runs.wanted_minutes_a_day + lost) * runs.days.days_in_month *
                                     tasks[z].rate_mm_per_h / 60.0;
            ASSERT_NEAR(wanted_mm, tasks[z].gross_mm, 1e-6) << site;
            // Keyed: whole minutes, which bring what was wanted but for what the window took.
            ASSERT_EQ(runs.cycles.minutes_each, std::round(runs.cycles.minutes_each)) << site;
            ASSERT_GE(runs.minutes_a_day + runs.lost_to_window_minutes,
                      0.95 * runs.wanted_minutes_a_day - 1.0)
                << site;
            if (runs.lost_to_window_minutes > 0.0) ++cut;
        }
    }
    EXPECT_GT(cut, 50);  // else the window was never put to the test
}

}  // namespace
}  // namespace thirstline
