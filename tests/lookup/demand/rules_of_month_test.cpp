#include "lookup/demand/rules_of_month.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/support/merrow_site.hpp"

namespace thirstline {
namespace {

AllowedDays weekdays(std::initializer_list<int> days) {
    AllowedDays allowed{DayRule::weekdays, {}};
    for (const int day : days) allowed.weekdays[static_cast<std::size_t>(day)] = true;
    return allowed;
}

Restriction restriction(YearDay first, YearDay last) {
    Restriction out;
    out.dates = {first, last};
    return out;
}

TEST(RulesOfMonth, ReplaceTheYearsRulesInTheirDates) {
    LocalRules rules;
    rules.allowed_days = weekdays({0, 2, 4});
    rules.days_per_week_cap = 3;
    Restriction winter = restriction({11, 1}, {2, 29});
    winter.allowed_days = weekdays({6});
    winter.days_per_week_cap = 1;
    rules.restrictions = {winter};
    const auto by_month = rules_by_month(rules);
    ASSERT_TRUE(by_month);
    for (std::size_t m = 0; m < kMonths; ++m) {
        const bool is_winter = m >= 10 || m <= 1;
        EXPECT_EQ((*by_month)[m].allowed_days, is_winter ? weekdays({6}) : rules.allowed_days) << m;
        EXPECT_EQ((*by_month)[m].days_per_week_cap, is_winter ? 1 : 3) << m;
    }
}

TEST(RulesOfMonth, KeepTheStricterOfBothInAMonthCoveredInPart) {
    LocalRules rules;
    rules.allowed_days = weekdays({0, 2, 4});
    rules.weekly_depth_cap_mm = 20.0;
    Restriction summer = restriction({6, 15}, {8, 31});
    summer.allowed_days = weekdays({0, 5});
    summer.weekly_depth_cap_mm = 30.0;
    summer.barred_hours = {{kEveryDay, 600, 1080}};
    rules.restrictions = {summer};
    const auto by_month = rules_by_month(rules);
    ASSERT_TRUE(by_month);
    EXPECT_EQ((*by_month)[5].allowed_days, weekdays({0}));
    EXPECT_EQ((*by_month)[5].weekly_depth_cap_mm, 20.0);
    EXPECT_EQ((*by_month)[5].barred_hours.size(), 1U);
    EXPECT_EQ((*by_month)[6].allowed_days, weekdays({0, 5}));
    EXPECT_EQ((*by_month)[6].weekly_depth_cap_mm, 30.0);
    EXPECT_TRUE((*by_month)[8].barred_hours.empty());
}

TEST(RulesOfMonth, RefuseWhatOneScheduleCannotKeep) {
    LocalRules rules;
    rules.allowed_days = weekdays({0});
    Restriction summer = restriction({6, 15}, {8, 31});
    summer.allowed_days = weekdays({1});
    rules.restrictions = {summer};
    EXPECT_FALSE(rules_by_month(rules));
    rules.restrictions[0].allowed_days = AllowedDays{DayRule::odd_dates, {}};
    EXPECT_FALSE(rules_by_month(rules));
    rules.restrictions[0].dates.first = {6, 1};
    EXPECT_TRUE(rules_by_month(rules));
    rules.restrictions.push_back(restriction({8, 31}, {9, 30}));
    EXPECT_FALSE(rules_by_month(rules));
    rules.restrictions[1].dates.first = {9, 1};
    EXPECT_TRUE(rules_by_month(rules));
}

TEST(RulesInThePlan, BindByDateInBothWaysToKeyTheYear) {
    LocalRules rules;
    rules.allowed_days = weekdays({0, 2, 4});
    Restriction fall = restriction({9, 1}, {10, 31});
    fall.allowed_days = weekdays({1});
    rules.restrictions = {fall};
    const ZonePlan zone = plan_or_fail(merrow_climate(), {north_lawn()}, rules).zones[0];
    for (const std::size_t m : {8U, 9U}) {
        const ZoneMonth& month = zone.months[m];
        if (month.off != Off::no) continue;
        EXPECT_NE(english(month.day_names).find("Tue"), std::string::npos)
            << english(month.day_names);
        EXPECT_NE(english(month.by_percentage.day_names).find("Tue"), std::string::npos);
    }
    EXPECT_EQ(zone.months[8].off, Off::no);
    EXPECT_EQ(english(zone.months[6].day_names), "Mon, Wed, Fri");
    EXPECT_EQ(english(zone.months[6].by_percentage.day_names), "Mon, Wed, Fri");
}

TEST(RulesInThePlan, DoNotBindExemptZones) {
    LocalRules rules;
    rules.allowed_days = weekdays({2});
    rules.minutes_per_day_cap = 5.0;
    const auto minutes_in_july = [&](const Zone& zone) {
        return plan_or_fail(merrow_climate(), {zone}, rules).zones[0].months[6];
    };
    EXPECT_EQ(english(minutes_in_july(shrub_bed()).day_names), "Wed");
    EXPECT_LE(minutes_in_july(shrub_bed()).minutes_per_week, 5.0);
    rules.exempt.drip = true;
    EXPECT_GT(minutes_in_july(shrub_bed()).minutes_per_week, 50.0);
    EXPECT_EQ(english(minutes_in_july(north_lawn()).day_names), "Wed");  // a lawn is not drip
    Zone lawn = north_lawn();
    lawn.is_exempt = true;
    EXPECT_NE(english(minutes_in_july(lawn).day_names), "Wed");
}

TEST(RulesInThePlan, DoNotBindNewPlantingsThatAreExempt) {
    LocalRules rules;
    rules.allowed_days = weekdays({2});
    Zone zone = north_lawn();
    zone.new_planting = NewPlanting{5.0, 3, std::nullopt, {2027, 5, 31}};
    EXPECT_EQ(
        english(plan_or_fail(merrow_climate(), {zone}, rules).zones[0].new_planting->day_names),
        "Wed");
    rules.exempt.new_plantings = true;
    const ZonePlan plan = plan_or_fail(merrow_climate(), {zone}, rules).zones[0];
    EXPECT_EQ(english(plan.new_planting->day_names), "every day");
    EXPECT_EQ(english(plan.months[6].day_names), "Wed");  // later it keeps the rules
}

TEST(RulesInThePlan, CapMinutesAndCyclesOfADay) {
    for (const char* rule : {"minutes_per_day_cap", "cycles_per_day_cap"}) {
        LocalRules rules;
        rules.allowed_days = monday_wednesday_friday();
        if (std::string_view(rule) == "minutes_per_day_cap")
            rules.minutes_per_day_cap = 12.0;
        else
            rules.cycles_per_day_cap = 1;
        const ZonePlan zone = plan_or_fail(merrow_climate(), {north_lawn()}, rules).zones[0];
        EXPECT_FALSE(conflicts_of(zone, rule).empty()) << rule;
        for (const ZoneMonth& month : zone.months) {
            EXPECT_LE(month.cycles_per_day, rules.cycles_per_day_cap.value_or(99));
            EXPECT_LE(month.cycles_per_day * month.minutes_per_cycle,
                      rules.minutes_per_day_cap.value_or(999.0));
        }
        EXPECT_LE(zone.base_run.cycles_per_day, rules.cycles_per_day_cap.value_or(99));
        EXPECT_LE(zone.base_run.minutes_per_day, rules.minutes_per_day_cap.value_or(999.0));
    }
}

TEST(RulesInThePlan, NameBarredHoursWhereTheyCutTheNight) {
    LocalRules rules;
    rules.allowed_days = monday_wednesday_friday();
    rules.barred_hours = {{kEveryDay, 60, 1440}};  // an hour is left
    const ZonePlan zone = plan_or_fail(merrow_climate(), {north_lawn()}, rules).zones[0];
    EXPECT_FALSE(conflicts_of(zone, "barred_hours").empty());
    EXPECT_TRUE(conflicts_of(zone, "window_hours").empty());
    for (const ZoneMonth& month : zone.months)
        for (const double start : month.start_minutes)
            EXPECT_LE(start + month.minutes_per_cycle, 60.0);
    rules.barred_hours = {{kEveryDay, 0, 1440}};
    EXPECT_FALSE(demand_plan(merrow_climate(), {north_lawn()}, rules, std::nullopt));
}

TEST(StartTimes, KeepTheSoakAndTheWindow) {
    LocalRules rules;
    rules.window_hours = 6.0;
    rules.window_start = ClockTime{22 * 60};
    const DemandPlan plan =
        plan_or_fail(merrow_climate(), {north_lawn(), shrub_bed(), sandy_strip()}, rules);
    for (const ZonePlan& zone : plan.zones) {
        for (const ZoneMonth& month : zone.months) {
            ASSERT_EQ(month.start_minutes.size(), static_cast<std::size_t>(month.cycles_per_day));
            for (std::size_t c = 0; c < month.start_minutes.size(); ++c) {
                EXPECT_GE(month.start_minutes[c], 22 * 60.0);
                EXPECT_LE(month.start_minutes[c] + month.minutes_per_cycle, 28 * 60.0 + 1e-9);
                if (c == 0) continue;
                EXPECT_GE(month.start_minutes[c] - month.start_minutes[c - 1],
                          month.minutes_per_cycle + month.soak_minutes - 1e-9);
            }
        }
        EXPECT_EQ(zone.base_run.start_minutes.size(),
                  static_cast<std::size_t>(zone.base_run.cycles_per_day));
    }
}

}  // namespace
}  // namespace thirstline
