#include "lookup/demand/watering_days.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "schema/base/calendar.hpp"

namespace thirstline {
namespace {

std::string english_name(const DayPattern& days) {
    return english(day_pattern_name(days, true));
}

AllowedDays only(std::initializer_list<int> weekdays) {
    AllowedDays allowed{DayRule::weekdays, {}};
    for (const int day : weekdays) allowed.weekdays[static_cast<std::size_t>(day)] = true;
    return allowed;
}

DayPattern densest(const AllowedDays& allowed, int month_index) {
    return day_patterns({allowed, std::nullopt}, month_index).back();
}

TEST(WateringDays, StayOnTheAllowedWeekdays) {
    const auto patterns = day_patterns({only({0, 2, 4}), std::nullopt}, 6);
    EXPECT_EQ(english_name(patterns.back()), "Mon, Wed, Fri");
    EXPECT_EQ(patterns.back().longest_gap_days, 3);
    EXPECT_NEAR(patterns.back().days_in_month, 3.0 * 31.0 / 7.0, 1e-12);
    for (const DayPattern& pattern : patterns) {
        for (int slot = 0; slot < kSlotsOfFourWeeks; ++slot) {
            if ((pattern.slots >> slot & 1U) == 0) continue;
            const int weekday = slot % 7;
            EXPECT_TRUE(weekday == 0 || weekday == 2 || weekday == 4) << slot;
        }
    }
}

TEST(WateringDays, AreAsEvenAsTheRuleAllows) {
    // Any days: two a week lie 3 and 4 days apart, four at most 2, one 7.
    const auto patterns = day_patterns({}, 0);
    const auto gap_of = [&](double per_week) {
        return std::find_if(patterns.begin(), patterns.end(),
                            [&](const DayPattern& p) { return p.nominal_per_week == per_week; })
            ->longest_gap_days;
    };
    EXPECT_EQ(gap_of(0.25), 28);
    EXPECT_EQ(gap_of(0.5), 14);
    EXPECT_EQ(gap_of(1.0), 7);
    EXPECT_EQ(gap_of(2.0), 4);
    EXPECT_EQ(gap_of(3.0), 3);
    EXPECT_EQ(gap_of(4.0), 2);
    EXPECT_EQ(gap_of(7.0), 1);
}

TEST(WateringDays, KeepTheCap) {
    for (const DayPattern& pattern : day_patterns({{}, 2}, 0)) {
        EXPECT_LE(pattern.most_in_seven_days, 2);
    }
    for (int month = 0; month < kMonths; ++month) {
        for (const DayRule rule : {DayRule::odd_dates, DayRule::even_dates}) {
            for (int cap = 1; cap <= 4; ++cap) {
                EXPECT_FALSE(day_patterns({{rule, {}}, cap}, month).empty()) << month << ' ' << cap;
            }
        }
    }
}

// The calendar: 31-day months have 16 odd dates, 30-day months 15, February 14 and, one year in
// four, the 29th.
TEST(WateringDays, OfOddDatesFollowTheCalendar) {
    const AllowedDays odd{DayRule::odd_dates, {}};
    EXPECT_EQ(densest(odd, 0).days_in_month, 16.0);
    EXPECT_EQ(densest(odd, 1).days_in_month, 14.25);
    EXPECT_EQ(densest(odd, 3).days_in_month, 15.0);
    EXPECT_EQ(densest(odd, 0).longest_gap_days, 2);
    EXPECT_EQ(english_name(densest(odd, 0)), "every odd date");
    // 29, 31, 1, 3: four within seven days.
    EXPECT_EQ(densest(odd, 0).most_in_seven_days, 4);
}

TEST(WateringDays, OfEvenDatesWaitThreeDaysOverTheThirtyFirst) {
    const AllowedDays even{DayRule::even_dates, {}};
    EXPECT_EQ(densest(even, 0).days_in_month, 15.0);
    EXPECT_EQ(densest(even, 0).longest_gap_days, 3);  // the 30th, then the 2nd
    EXPECT_EQ(densest(even, 3).longest_gap_days, 2);
    EXPECT_EQ(densest(even, 1).longest_gap_days, 3);  // in leap years
    EXPECT_EQ(densest(even, 1).days_in_month, 14.0);
}

TEST(WateringDays, OfOddAndEvenDatesAreAllDaysTogether) {
    double odd = 0.0;
    double even = 0.0;
    for (int month = 0; month < kMonths; ++month) {
        odd += densest({DayRule::odd_dates, {}}, month).days_in_month;
        even += densest({DayRule::even_dates, {}}, month).days_in_month;
    }
    EXPECT_EQ(odd + even, 365.25);
    EXPECT_NEAR((odd + even) / 2.0 / 12.0, 15.2, 0.05);  // a month
}

TEST(WateringDays, HaveNames) {
    const auto names = [](DayRule rule) {
        std::vector<std::string> all;
        for (const DayPattern& p : day_patterns({{rule, {}}, std::nullopt}, 3)) {
            all.push_back(english_name(p));
        }
        return all;
    };
    const auto any = names(DayRule::any);
    EXPECT_EQ(any.front(), "every 4th Monday");
    EXPECT_EQ(any.back(), "every day");
    // As long at most, but less even than Monday, Wednesday and Friday.
    EXPECT_EQ(std::count(any.begin(), any.end(), "Mon, Tue, Fri"), 0);
    EXPECT_EQ(std::count(any.begin(), any.end(), "Mon, Wed, Fri"), 1);
    // Zones on alternate weeks must not read as if they were watered on the same night.
    EXPECT_EQ(std::count(any.begin(), any.end(), "every other Monday"), 1);
    EXPECT_EQ(std::count(any.begin(), any.end(), "every other Monday from week 2"), 1);
    const auto odd = names(DayRule::odd_dates);
    EXPECT_NE(std::find(odd.begin(), odd.end(), "every 4 days from the 1st"), odd.end());
    EXPECT_EQ(names(DayRule::even_dates).back(), "every even date");
}

// A controller has weekdays, odd or even dates and intervals, but no list of dates.
TEST(WateringDays, AreThoseThatTheControllerCanRepeat) {
    const DayLimits even{{DayRule::even_dates, {}}, std::nullopt, false};
    const auto without_intervals = day_patterns(even, 3);
    ASSERT_EQ(without_intervals.size(), 1U);
    EXPECT_EQ(english(day_pattern_name(without_intervals[0], false)), "every even date");
    for (const DayPattern& days : day_patterns({{}, std::nullopt, false}, 3))
        EXPECT_EQ(day_setting(days, false), DaySetting::program);

    // Two days a week leave no program but an interval; without one the dates are listed.
    const DayLimits two_days{even.allowed, 2, false};
    // From the 2nd it would be the 26th, the 30th and the 2nd: three in seven days.
    const DayPattern listed = day_patterns(two_days, 3).back();
    EXPECT_EQ(day_setting(listed, false), DaySetting::dates);
    EXPECT_EQ(english(day_pattern_name(listed, false)),
              "on the 4th, 8th, 12th, 16th, 20th, 24th and 28th");
    EXPECT_EQ(day_setting(listed, true), DaySetting::date_interval);
    EXPECT_EQ(english_name(listed), "every 4 days from the 4th");
    EXPECT_EQ(day_pattern_name(listed, true).rendered({.language = Language::spanish}),
              "cada 4 días desde el 4");

    // The same where another month's rule takes the days of the base schedule.
    const DayPattern monday_thursday = day_patterns({only({0, 3}), std::nullopt}, 6).back();
    EXPECT_EQ(english_name(days_within_limits(monday_thursday, even, 11)), "every even date");
}

TEST(WateringDays, StayInAnotherMonthWhereItsRulesAllowThem) {
    const DayPattern monday_thursday = day_patterns({only({0, 3}), std::nullopt}, 6).back();
    ASSERT_EQ(english_name(monday_thursday), "Mon, Thu");
    const auto in_december = [&](const DayLimits& limits) {
        return days_within_limits(monday_thursday, limits, 11);
    };
    EXPECT_EQ(english_name(in_december({only({0, 3, 5}), std::nullopt})), "Mon, Thu");
    EXPECT_NEAR(in_december({}).days_in_month, 2.0 * 31.0 / 7.0, 1e-12);
    // One day a week; other days; dates of no more than two a week.
    EXPECT_EQ(in_december({only({0, 3}), 1}).nominal_per_week, 1.0);
    EXPECT_EQ(english_name(in_december({only({1, 4}), std::nullopt})), "Tue, Fri");
    const DayPattern odd = in_december({{DayRule::odd_dates, {}}, std::nullopt});
    EXPECT_EQ(odd.rule, DayRule::odd_dates);
    EXPECT_LE(odd.nominal_per_week, 2.0);
    EXPECT_FALSE(allows_days({{DayRule::odd_dates, {}}, std::nullopt}, monday_thursday));
}

}  // namespace
}  // namespace thirstline
