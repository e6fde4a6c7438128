#include "lookup/demand/effective_rain.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

namespace thirstline {
namespace {

constexpr double kInch = 25.4;

double in_effective(double rain_in, double need_in, double storage_in) {
    return scs_effective_rain_mm(rain_in * kInch, need_in * kInch, storage_in * kInch) / kInch;
}

/// The equation without the storage factor, for the values at SF = 1.
double in_at_full_factor(double rain_in, double need_in) {
    return in_effective(rain_in, need_in, 3.0) / scs_storage_factor(3.0 * kInch);
}

struct CheckValue {
    double rain_in, need_in, effective_in;
};
// USDA-SCS Technical Release 21 / National Engineering Handbook part 623 chapter 2: recomputed from
// the equation; the print itself was not at hand. (Unrounded they are 0.7849, 1.5075 and 1.5941;
// the first is commonly rounded up.)
constexpr std::array<CheckValue, 3> kAtFullFactor{
    {{1.0, 5.0, 0.79}, {2.0, 5.0, 1.51}, {2.0, 6.0, 1.59}}};
constexpr double kToleranceIn = 0.006;

TEST(EffectiveRain, StorageFactorMatchesRecomputedValues) {
    EXPECT_NEAR(scs_storage_factor(3.0 * kInch), 1.0007, 5e-5);
    EXPECT_NEAR(scs_storage_factor(0.36 * kInch), 0.63, 0.005);
}

TEST(EffectiveRain, StorageFactorIsConstantAboveSevenInches) {
    EXPECT_DOUBLE_EQ(scs_storage_factor(12.0 * kInch), scs_storage_factor(7.0 * kInch));
    EXPECT_NEAR(scs_storage_factor(7.0 * kInch), 1.0755, 5e-5);  // the cubic, by hand
    EXPECT_LT(scs_storage_factor(0.1 * kInch), 0.57);
}

TEST(EffectiveRain, EquationMatchesRecomputedValues) {
    for (const CheckValue& check : kAtFullFactor) {
        EXPECT_NEAR(in_at_full_factor(check.rain_in, check.need_in), check.effective_in,
                    kToleranceIn)
            << check.rain_in << " in, " << check.need_in << " in";
    }
}

// The same, worked out by another program to four places.
TEST(EffectiveRain, EquationHasItsRecomputedValues) {
    EXPECT_NEAR(in_at_full_factor(1.0, 5.0), 0.7849, 5e-5);
    EXPECT_NEAR(in_at_full_factor(2.0, 5.0), 1.5074, 5e-5);
    EXPECT_NEAR(in_at_full_factor(2.0, 6.0), 1.5940, 5e-5);
}

// Pe = SF (1.25247 P^0.82416 − 2.93522) 10^(0.000955 ETc), mm: the same handbook's metric form,
// from memory. Its constants are those of the equation in inches, turned.
TEST(EffectiveRain, AgreesWithTheMetricForm) {
    for (const double rain_mm : {15.0, 40.0, 80.0, 120.0}) {
        for (const double need_mm : {130.0, 200.0}) {
            const double metric_mm = (1.25247 * std::pow(rain_mm, 0.82416) - 2.93522) *
                                     std::pow(10.0, 0.000955 * need_mm);
            const double here_mm = scs_effective_rain_mm(rain_mm, need_mm, 3.0 * kInch) /
                                   scs_storage_factor(3.0 * kInch);
            EXPECT_NEAR(here_mm, metric_mm, 0.002 * metric_mm) << rain_mm << ' ' << need_mm;
        }
    }
}

// Wrong copies of the equation. Each must miss the recomputed values, or these would prove
// nothing.
double exponent_on_the_product(double rain_in, double need_in) {
    return (std::pow(0.70917 * rain_in, 0.82416) - 0.11556) * std::pow(10.0, 0.02426 * need_in);
}
double metric_constants_in_inches(double rain_in, double need_in) {
    return (1.25247 * std::pow(rain_in, 0.82416) - 2.93522) * std::pow(10.0, 0.000955 * need_in);
}

TEST(EffectiveRain, WrongCopiesMissTheRecomputedValues) {
    for (const CheckValue& check : kAtFullFactor) {
        EXPECT_GT(
            std::fabs(exponent_on_the_product(check.rain_in, check.need_in) - check.effective_in),
            5 * kToleranceIn);
        EXPECT_GT(std::fabs(metric_constants_in_inches(check.rain_in, check.need_in) -
                            check.effective_in),
                  5 * kToleranceIn);
    }
    // With the factor fixed at 1, a lawn's shallow soil would be credited 60 % more.
    EXPECT_GT(in_at_full_factor(1.0, 5.0) / in_effective(1.0, 5.0, 0.36), 1.5);
}

TEST(EffectiveRain, IsBetweenZeroAndRainAndNeed) {
    EXPECT_DOUBLE_EQ(in_effective(20.0, 4.0, 3.0), 4.0);
    EXPECT_DOUBLE_EQ(in_effective(0.0, 5.0, 3.0), 0.0);
    EXPECT_DOUBLE_EQ(in_effective(0.05, 5.0, 3.0), 0.0);  // the equation itself is negative here
    EXPECT_DOUBLE_EQ(in_effective(0.5, 20.0, 7.0), 0.5);  // beyond the rain otherwise
    EXPECT_DOUBLE_EQ(in_effective(3.0, 0.0, 3.0), 0.0);
}

// FAO's dependable rain, from memory: its two lines meet at 70 mm.
TEST(EffectiveRain, DependableRain) {
    EXPECT_NEAR(dependable_rain_mm(100.0, 200.0), 56.0, 1e-12);
    EXPECT_NEAR(dependable_rain_mm(70.0, 200.0), 32.0, 1e-12);
    EXPECT_NEAR(dependable_rain_mm(70.0001, 200.0), 32.0, 1e-3);
    EXPECT_NEAR(dependable_rain_mm(30.0, 200.0), 8.0, 1e-12);
    EXPECT_EQ(dependable_rain_mm(16.0, 200.0), 0.0);
    EXPECT_EQ(dependable_rain_mm(100.0, 20.0), 20.0);
}

MonthClimate month_with_rain(double rain_mm) {
    MonthClimate month;
    month.rain_mm = rain_mm;
    return month;
}

TEST(EffectiveRain, FollowsTheRuleOfTheZone) {
    const MonthClimate month = month_with_rain(60.0);
    constexpr double kNeedMm = 120.0;
    constexpr double kStorageMm = 60.0;
    const double scs_mm = scs_effective_rain_mm(60.0, kNeedMm, kStorageMm);
    ASSERT_GT(scs_mm, 30.0);
    const auto by = [&](RainCredit credit, double credited_share) {
        return effective_rain_mm(month, kNeedMm, credit, kStorageMm, credited_share);
    };
    EXPECT_EQ(by({RainRule::none}, 1.0), 0.0);
    EXPECT_EQ(by({RainRule::half}, 1.0), 30.0);
    EXPECT_EQ(by({RainRule::half}, 0.25), 7.5);
    EXPECT_EQ(by({RainRule::half}, 0.0), 0.0);
    EXPECT_EQ(by({RainRule::scs}, 0.0), scs_mm);
    EXPECT_EQ(by({RainRule::dependable}, 0.0), 26.0);
    EXPECT_EQ(by({RainRule::share, 0.25}, 0.0), 15.0);
    // A shallow soil cannot use half of it.
    const double shallow_mm = effective_rain_mm(month, kNeedMm, {}, 5.0);
    EXPECT_EQ(shallow_mm, scs_effective_rain_mm(60.0, kNeedMm, 5.0));
    EXPECT_LT(shallow_mm, 30.0);
}

TEST(EffectiveRain, IsLimitedByRainDays) {
    MonthClimate month = month_with_rain(60.0);
    month.rain_days = 3.0;
    EXPECT_EQ(effective_rain_mm(month, 120.0, {RainRule::scs}, 8.0), 24.0);
    EXPECT_EQ(effective_rain_mm(month, 120.0, {RainRule::half}, 8.0), 24.0);
}

TEST(EffectiveRain, IsZeroInFrozenMonthsAndWithoutRain) {
    MonthClimate month = month_with_rain(60.0);
    month.tmean_c = -0.5;
    EXPECT_EQ(effective_rain_mm(month, 120.0, {RainRule::scs}, 60.0), 0.0);
    month.tmean_c = 0.5;
    EXPECT_GT(effective_rain_mm(month, 120.0, {RainRule::scs}, 60.0), 0.0);
    month.rain_mm.reset();
    EXPECT_EQ(effective_rain_mm(month, 120.0, {RainRule::scs}, 60.0), 0.0);
}

}  // namespace
}  // namespace thirstline
