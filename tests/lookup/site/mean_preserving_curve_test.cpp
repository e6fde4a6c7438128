#include "lookup/site/mean_preserving_curve.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace thirstline {
namespace {

Monthly<double> monthly_means_of(const DailyCurve& curve) {
    Monthly<double> means{};
    std::size_t day = 0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        for (int i = 0; i < kWholeDaysInMonth[m]; ++i) means[m] += curve[day++];
        means[m] /= kWholeDaysInMonth[m];
    }
    return means;
}

void expect_means_kept(const Monthly<double>& means, CurveRange range) {
    const Monthly<double> kept = monthly_means_of(daily_curve(means, range));
    for (std::size_t m = 0; m < kMonths; ++m) {
        EXPECT_NEAR(kept[m], means[m], 1e-9 * std::max(1.0, std::fabs(means[m]))) << "month " << m;
    }
}

/// Largest jump from one day to the next, over the new year too.
double largest_jump(const DailyCurve& curve) {
    double jump = std::fabs(curve.front() - curve.back());
    for (std::size_t day = 1; day < curve.size(); ++day) {
        jump = std::max(jump, std::fabs(curve[day] - curve[day - 1]));
    }
    return jump;
}

TEST(MeanPreservingCurve, KeepsTheMeansOfAYearWithFrost) {
    // A made-up year of monthly temperatures.
    constexpr Monthly<double> kMeans{-6.77, -4.33, 1.52,  8.35,  14.74, 20.29,
                                     23.22, 22.17, 16.94, 10.35, 3.08,  4.29};
    expect_means_kept(kMeans, CurveRange::any);
    // A year's range of 30 degrees has no day that jumps by more than one.
    EXPECT_LT(largest_jump(daily_curve(kMeans, CurveRange::any)), 1.0);
}

TEST(MeanPreservingCurve, IsConstantForEqualMonths) {
    Monthly<double> means{};
    means.fill(2.5);
    for (const CurveRange range : {CurveRange::any, CurveRange::never_negative}) {
        for (const double value : daily_curve(means, range)) EXPECT_NEAR(value, 2.5, 1e-12);
    }
}

TEST(MeanPreservingCurve, FollowsASineOfTheYear) {
    // The mean of a sine over a month is known exactly; the curve must come back to the sine's
    // daily means within a small part of its amplitude.
    const auto integral = [](double day) {
        const double turn = 2.0 * M_PI / kDaysOfYear;
        return 10.0 * day - 3.0 * std::cos(turn * day) / turn;
    };
    Monthly<double> means{};
    double start = 0.0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        means[m] =
            (integral(start + kWholeDaysInMonth[m]) - integral(start)) / kWholeDaysInMonth[m];
        start += kWholeDaysInMonth[m];
    }
    const DailyCurve curve = daily_curve(means, CurveRange::never_negative);
    for (int day = 0; day < kDaysOfYear; ++day) {
        EXPECT_NEAR(curve[static_cast<std::size_t>(day)], integral(day + 1) - integral(day), 0.03)
            << day;
    }
}

TEST(MeanPreservingCurve, IsNeverNegativeAndExactWhateverTheMonths) {
    const unsigned seed = 20'250'613;
    SCOPED_TRACE(seed);
    std::mt19937 random(seed);
    std::exponential_distribution<double> rain(0.3);
    std::bernoulli_distribution dry(0.35);
    for (int year = 0; year < 2000; ++year) {
        Monthly<double> means{};
        for (double& mean : means) mean = dry(random) ? 0.0 : rain(random) * 30.0;
        const DailyCurve curve = daily_curve(means, CurveRange::never_negative);
        EXPECT_GE(*std::min_element(curve.begin(), curve.end()), 0.0);
        expect_means_kept(means, CurveRange::never_negative);
        expect_means_kept(means, CurveRange::any);
    }
}

TEST(MeanPreservingCurve, NeedsTheLimitForASingleWetMonth) {
    Monthly<double> means{};
    means[6] = 10.0;
    const DailyCurve free = daily_curve(means, CurveRange::any);
    EXPECT_LT(*std::min_element(free.begin(), free.end()), 0.0);
    const DailyCurve curve = daily_curve(means, CurveRange::never_negative);
    EXPECT_EQ(*std::min_element(curve.begin(), curve.end()), 0.0);
    EXPECT_EQ(curve[180], 0.0);  // 30 June: a dry month stays dry to its last day
    expect_means_kept(means, CurveRange::never_negative);
}

TEST(MeanPreservingCurve, IsContinuousOverTheNewYear) {
    constexpr Monthly<double> kWinterPeak{9, 7, 5, 4, 3, 2, 1, 2, 3, 5, 7, 8.5};
    const DailyCurve curve = daily_curve(kWinterPeak, CurveRange::never_negative);
    EXPECT_LT(std::fabs(curve.front() - curve.back()), 0.05);
    // And the year has no privileged end: half a year on, the curve of the shifted months is the
    // shifted curve but for the lengths of the months.
    Monthly<double> shifted{};
    for (std::size_t m = 0; m < kMonths; ++m) shifted[m] = kWinterPeak[(m + 6) % kMonths];
    const DailyCurve other = daily_curve(shifted, CurveRange::never_negative);
    EXPECT_NEAR(other[181 + 15], curve[15], 0.15);
}

TEST(MeanPreservingCurve, WeeksAreFiftyTwoAndTheLastHasEightDays) {
    const auto weeks = weeks_of_year();
    ASSERT_EQ(weeks.size(), 52U);
    int next = 0;
    for (std::size_t week = 0; week < weeks.size(); ++week) {
        EXPECT_EQ(weeks[week].first_day, next);
        EXPECT_EQ(weeks[week].days, week == 51 ? 8 : 7);
        next += weeks[week].days;
    }
    EXPECT_EQ(next, kDaysOfYear);
    EXPECT_EQ(days_of_year().size(), 365U);

    constexpr Monthly<double> kMeans{1, 2, 3, 4, 5, 6, 7, 6, 5, 4, 3, 2};
    const DailyCurve curve = daily_curve(kMeans, CurveRange::never_negative);
    double by_weeks = 0.0;
    for (const DaySpan week : weeks) by_weeks += total_over(curve, week);
    double by_months = 0.0;
    for (std::size_t m = 0; m < kMonths; ++m) by_months += kMeans[m] * kWholeDaysInMonth[m];
    EXPECT_NEAR(by_weeks, by_months, 1e-9);
}

TEST(MeanPreservingCurve, KnowsTheCalendar) {
    EXPECT_EQ(month_day_of(0).month_index, 0);
    EXPECT_EQ(month_day_of(0).day, 1);
    EXPECT_EQ(month_day_of(58).month_index, 1);
    EXPECT_EQ(month_day_of(58).day, 28);
    EXPECT_EQ(month_day_of(59).month_index, 2);
    EXPECT_EQ(month_day_of(59).day, 1);
    EXPECT_EQ(month_day_of(364).month_index, 11);
    EXPECT_EQ(month_day_of(364).day, 31);
}

}  // namespace
}  // namespace thirstline
