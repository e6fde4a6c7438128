// The trend of yearly totals: against a straight line, and against the closed form of the standard
// error of least squares.
#include "builder/records/trend.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace thirstline {
namespace {

constexpr double kNoValue = std::numeric_limits<double>::quiet_NaN();

/// Thirty years of which each month has `month + slope · year` and every second year `by` more.
std::vector<double> line(double slope, double by = 0.0) {
    std::vector<double> values;
    for (int year = 0; year < 30; ++year)
        for (int month = 0; month < 12; ++month)
            values.push_back(50.0 + month + slope * year + (year % 2 == 0 ? by : -by));
    return values;
}

TEST(YearlyTrends, OfAStraightLineAreItsSlope) {
    const auto trend = yearly_trend(line(0.5));
    ASSERT_TRUE(trend);
    EXPECT_NEAR(trend->per_decade, 12 * 0.5 * 10, 1e-9);
    EXPECT_NEAR(trend->standard_error, 0.0, 1e-9);
    EXPECT_NEAR(trend->recent, 12 * 0.5 * 7.5,
                1e-9);  // middle of the last fifteen: 22, of all: 14.5
    EXPECT_EQ(trend->years, 30);
}

// Of n years of scatter s: s / √(n (n² − 1) / 12) a year. The years alternate by 2 · 12 mm.
TEST(YearlyTrends, HaveTheErrorOfLeastSquares) {
    const auto trend = yearly_trend(line(0.0, 2.0));
    ASSERT_TRUE(trend);
    const double of_scatter = 24.0 * std::sqrt(30.0 / 28.0) / std::sqrt(30.0 * 899.0 / 12.0) * 10.0;
    EXPECT_NEAR(trend->standard_error, of_scatter, 0.02 * of_scatter);
    EXPECT_LT(std::abs(trend->per_decade), trend->standard_error);
}

TEST(YearlyTrends, TakeUpToTwoUnknownMonthsAsNormal) {
    std::vector<double> values = line(0.0);
    values[5 * 12 + 3] = values[5 * 12 + 4] = kNoValue;
    values[8 * 12 + 3] = values[8 * 12 + 4] = values[8 * 12 + 9] = kNoValue;
    const auto trend = yearly_trend(values);
    ASSERT_TRUE(trend);
    EXPECT_EQ(trend->years, 29);
    EXPECT_NEAR(trend->per_decade, 0.0, 1e-9);
}

TEST(YearlyTrends, NeedTwentyYears) {
    std::vector<double> values = line(0.5);
    values.resize(19 * 12);
    EXPECT_FALSE(yearly_trend(values));
    std::vector<double> without_recent = line(0.5);
    for (std::size_t i = 21 * 12; i < without_recent.size(); ++i) without_recent[i] = kNoValue;
    EXPECT_FALSE(yearly_trend(without_recent));
}

}  // namespace
}  // namespace thirstline
