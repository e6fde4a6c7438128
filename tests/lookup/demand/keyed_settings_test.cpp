// What is keyed into a controller brings what the plan says, and meets the need.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/exact_units.hpp"
#include "tests/support/merrow_site.hpp"

namespace thirstline {
namespace {

DemandPlan plan_with(const SiteSetup& setup, const std::vector<Zone>& zones,
                     const LocalRules& rules = {}, const SiteClimate& climate = merrow_climate()) {
    auto plan = demand_plan(climate, zones, rules, {}, setup);
    if (plan) return std::move(*plan);
    ADD_FAILURE() << plan.error().message;
    return {};
}

/// Minutes a week that the base run brings at the percentage of a month.
double minutes_by_percentage(const ZonePlan& zone, std::size_t m) {
    return zone.base_run.minutes_per_day * zone.months[m].by_percentage.percent / 100.0 *
           zone.base_run.days_per_week;
}

/// Is the month's shortage named, or the zone off?
bool is_named(const ZonePlan& zone, std::size_t m) {
    return zone.months[m].off != Off::no ||
           std::any_of(zone.conflicts.begin(), zone.conflicts.end(), [&](const Conflict& one) {
               return one.month == static_cast<int>(m) + 1 && one.short_mm > 0.0;
           });
}

// A rule that cuts the peak's runs: percentages belong to the cut run, so that months in which the
// rule does not bind get what they need.
TEST(KeyedSettings, PercentagesBelongToTheBaseRunThatIsPrinted) {
    LocalRules by_window;
    by_window.window_hours = 1.0;
    by_window.allowed_days = {DayRule::weekdays, {true, false, false, true, false, false, false}};
    LocalRules by_depth;
    by_depth.weekly_depth_cap_mm = 25.4;
    LocalRules by_allowance;
    by_allowance.monthly_allowance_l = 3000.0 * kLitresPerGallon;
    for (const LocalRules& rules : {by_window, by_depth, by_allowance}) {
        const ZonePlan zone = plan_or_fail(merrow_climate(), {north_lawn()}, rules).zones[0];
        ASSERT_GT(zone.base_run.minutes_per_day, 0.0);
        EXPECT_LT(zone.months[6].applied_mm, 0.95 * zone.months[6].gross_mm);  // the rule binds
        int unbound = 0;
        for (std::size_t m = 0; m < kMonths; ++m) {
            const ZoneMonth& month = zone.months[m];
            if (is_named(zone, m)) continue;
            ++unbound;
            EXPECT_GE(minutes_by_percentage(zone, m), 0.95 * month.wanted_minutes_per_week - 1e-9)
                << m;
            EXPECT_LE(minutes_by_percentage(zone, m), 1.35 * month.wanted_minutes_per_week) << m;
        }
        EXPECT_GT(unbound, 1);
    }
}

// In every month both ways to key the year are complete by themselves: nothing has to be done
// besides, such as to cut days first.
TEST(KeyedSettings, EachWayToKeyTheYearIsCompleteByItself) {
    const DemandPlan plan =
        plan_or_fail(merrow_climate(), {north_lawn(), shrub_bed(), sandy_strip()});
    for (const ZonePlan& zone : plan.zones) {
        for (std::size_t m = 0; m < kMonths; ++m) {
            const ZoneMonth& month = zone.months[m];
            if (month.off != Off::no) continue;
            EXPECT_GE(month.minutes_per_week, 0.95 * month.wanted_minutes_per_week - 1e-9);
            EXPECT_GE(month.by_percentage.applied_mm, 0.95 * month.gross_mm - 1e-9);
        }
        EXPECT_LE(
            zone.volume_l / zone.counted_area_m2, 1.08 * [&] {
                double gross_mm = 0.0;
                for (const ZoneMonth& month : zone.months) gross_mm += month.gross_mm;
                return gross_mm;
            }());
    }
    EXPECT_LE(plan.site.year.volume_l, 1.03 * plan.site.need.volume_l);
    EXPECT_LE(plan.site.by_percentage.volume_l, 1.08 * plan.site.need.volume_l);
}

TEST(KeyedSettings, AreMultiplesOfTheControllersSteps) {
    SiteSetup setup;
    setup.controller.minute_step = 5.0;
    setup.controller.percent_step = 10;
    for (const ZonePlan& zone : plan_with(setup, {north_lawn(), sandy_strip()}).zones) {
        for (const ZoneMonth& month : zone.months) {
            EXPECT_EQ(std::fmod(month.minutes_per_cycle, 5.0), 0.0);
            EXPECT_EQ(month.by_percentage.percent % 10, 0);
        }
        EXPECT_EQ(std::fmod(zone.base_run.minutes_per_cycle, 5.0), 0.0);
    }
}

TEST(KeyedSettings, KeepToTheCyclesThatTheControllerHas) {
    SiteSetup setup;
    setup.controller.cycles_possible = false;
    const ZonePlan zone = plan_with(setup, {north_lawn()}).zones[0];
    for (const ZoneMonth& month : zone.months) EXPECT_LE(month.cycles_per_day, 1);
    EXPECT_EQ(zone.base_run.cycles_per_day, 1);
    setup = {};
    setup.controller.interval_days = false;
    const DemandPlan by_weekday = plan_with(setup, {north_lawn()});
    for (const ZoneMonth& month : by_weekday.zones[0].months) {
        EXPECT_TRUE(english(month.day_names).find("every ") == std::string::npos)
            << english(month.day_names);
    }
}

TEST(KeyedSettings, UseNoMoreProgramsThanThereAre) {
    std::vector<Zone> zones{north_lawn(), shrub_bed(), sandy_strip()};
    SiteSetup setup;
    setup.controller.programs = 1;
    EXPECT_EQ(plan_with(setup, zones).site.programs.size(), 1U);
    // Two zones alike share a program where there could be more.
    Zone south = north_lawn();
    south.name = "south lawn";
    EXPECT_EQ(plan_with({}, {north_lawn(), south}).site.programs.size(), 1U);
    // The owner's own choice.
    zones = {north_lawn(), south};
    zones[0].program = 2;
    zones[1].program = 1;
    const DemandPlan own = plan_with({}, zones);
    ASSERT_EQ(own.site.programs.size(), 2U);
    EXPECT_EQ(own.site.programs[0].zones, std::vector<std::string>{"south lawn"});
}

// A zone that the connection cannot feed has no say in the percentages.
TEST(KeyedSettings, AZoneThatCannotRunDoesNotCountInThePercentages) {
    LocalRules rules;
    rules.flow_l_per_min = 20.0;
    Zone lawn = north_lawn();
    lawn.application = ZoneFlow{15.0};
    Zone trees = sandy_strip();  // takes 30 l/min
    trees.planting = CropCoefficient{{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}};
    const DemandPlan both = plan_or_fail(merrow_climate(), {lawn, trees}, rules);
    const DemandPlan alone = plan_or_fail(merrow_climate(), {lawn}, rules);
    ASSERT_EQ(both.site.programs.size(), 1U);
    EXPECT_EQ(both.site.programs[0].percent, alone.site.programs[0].percent);
    EXPECT_EQ(both.zones[1].base_run.program, 0);
}

// A window that is just as long as the night is no conflict, nor is one that cuts it by a minute.
TEST(KeyedSettings, NameNoConflictWhereTheWindowHolds) {
    std::vector<Zone> zones;
    for (int z = 0; z < 4; ++z) {
        Zone zone = north_lawn();
        zone.name = "lawn " + std::to_string(z);
        zone.slope_percent = 1.0;
        zones.push_back(zone);
    }
    LocalRules rules;
    rules.allowed_days = monday_wednesday_friday();
    const double night =
        plan_or_fail(merrow_climate(), zones, rules).site.longest_night_minutes.value_or(0.0);
    ASSERT_GT(night, 0.0);
    rules.window_hours = night / 60.0;
    for (const ZonePlan& zone : plan_or_fail(merrow_climate(), zones, rules).zones) {
        EXPECT_TRUE(conflicts_of(zone, "window_hours").empty());
    }
    // A cut within the rounding is no conflict.
    rules.window_hours = (night - 1.0) / 60.0;
    for (const ZonePlan& zone : plan_or_fail(merrow_climate(), zones, rules).zones) {
        EXPECT_TRUE(conflicts_of(zone, "window_hours").empty());
        EXPECT_GE(zone.months[6].applied_mm, 0.95 * zone.months[6].gross_mm);
    }
}

TEST(KeyedSettings, WaterNothingOutsideTheSeason) {
    SiteSetup setup;
    setup.season = Season{{4, 16}, {10, 15}};
    const DemandPlan plan = plan_with(setup, {north_lawn()});
    const ZonePlan& zone = plan.zones[0];
    EXPECT_EQ(zone.months[10].off, Off::out_of_season);
    EXPECT_EQ(zone.months[10].volume_l, 0.0);
    EXPECT_EQ(zone.months[2].by_percentage.applied_mm, 0.0);
    EXPECT_EQ(plan.site.season_share[3], 0.5);
    EXPECT_NEAR(zone.months[3].gross_mm, zone.months[3].net_mm * zone.gross_per_net / 2.0, 1e-9);
    EXPECT_GE(zone.months[3].applied_mm, 0.95 * zone.months[3].gross_mm - 1e-9);

    // By default, by the mean daily minimum: winter, and no season without frost.
    SiteClimate cold = merrow_climate();
    for (std::size_t m = 0; m < kMonths; ++m) cold.months[m].tmin_c = m >= 4 && m <= 8 ? 8.0 : -1.0;
    const DemandPlan frosty = plan_with({}, {north_lawn()}, {}, cold);
    EXPECT_EQ(frosty.zones[0].months[3].off, Off::out_of_season);
    EXPECT_EQ(frosty.zones[0].months[4].off, Off::no);
}

// One minute once a day is not worth a visit to the controller: fewer days, or none.
TEST(KeyedSettings, HaveNoRunsOfAMinuteOrTwo) {
    SiteClimate wet = merrow_climate();
    for (const std::size_t m : {8U, 9U, 10U}) wet.months[m].rain_mm = 150.0;
    Zone zone = sandy_strip();
    zone.rain_credit = RainCredit{RainRule::scs};
    zone.root_depth_mm = 400.0;
    const DemandPlan plan = plan_or_fail(wet, {zone});
    for (const ZoneMonth& month : plan.zones[0].months) {
        if (month.cycles_per_day == 0) continue;
        EXPECT_GE(month.cycles_per_day * month.minutes_per_cycle, 3.0);
    }
}

TEST(KeyedSettings, CaliforniasCoefficientsAreForCalifornia) {
    Zone zone = north_lawn();
    zone.planting = Turf{TurfSeason::cool, TurfCoefficients::california};
    SiteClimate climate = merrow_climate();
    for (const LatLon at : {LatLon{36.78, -119.42}, LatLon{34.05, -118.24}, LatLon{41.8, -122.6}}) {
        climate.at = at;  // Fresno, Los Angeles, Yreka
        EXPECT_TRUE(demand_plan(climate, {zone}, {}, {})) << at.lat_deg;
    }
    // Minneapolis, Sydney, Reno, Las Vegas
    for (const LatLon at : {LatLon{44.98, -93.27}, LatLon{-33.87, 151.21}, LatLon{39.53, -119.81},
                            LatLon{36.17, -115.14}}) {
        climate.at = at;
        const auto refused = demand_plan(climate, {zone}, {}, {});
        ASSERT_FALSE(refused) << at.lat_deg;
        EXPECT_NE(refused.error().message.find("not valid outside California"), std::string::npos);
    }
}

}  // namespace
}  // namespace thirstline
