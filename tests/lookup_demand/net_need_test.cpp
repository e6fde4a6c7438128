#include "lookup/demand/net_need.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "lookup/demand/effective_rain.hpp"
#include "tests/lookup_demand/merrow_site.hpp"

namespace thirstline {
namespace {

ZoneNumbers numbers_of(const Zone& zone, const SiteClimate& climate) {
    auto numbers = zone_numbers(zone, climate);
    EXPECT_TRUE(numbers);
    return *numbers;
}

Zone lawn_with(RainCredit credit) {
    Zone zone = north_lawn();
    zone.rain_credit = credit;
    return zone;
}

TEST(NetNeed, PeaksWhereNetNeedDoesAndNotWhereEtoDoes) {
    // A place of summer rain: July has the greatest ETo, May the greatest net need.
    SiteClimate climate = merrow_climate();
    climate.months[5].rain_mm = 120.0;
    climate.months[6].rain_mm = 150.0;
    climate.months[7].rain_mm = 140.0;
    Zone zone = lawn_with({RainRule::scs});
    zone.root_depth_mm = 300.0;
    const YearNeed year = year_need(numbers_of(zone, climate), climate);
    EXPECT_EQ(year.peak_month_index, 4);
}

TEST(NetNeed, ComparesMonthsByTheDay) {
    // 30 days of 5.0 mm are less than 31 of 4.9, but more a day.
    SiteClimate climate = merrow_climate();
    for (MonthClimate& month : climate.months) month.eto_mm = 10.0;
    climate.months[5].eto_mm = 30 * 5.0;
    climate.months[6].eto_mm = 31 * 4.9;
    ASSERT_GT(climate.months[6].eto_mm, climate.months[5].eto_mm);
    const YearNeed year = year_need(numbers_of(lawn_with({RainRule::none}), climate), climate);
    EXPECT_EQ(year.peak_month_index, 5);
}

TEST(NetNeed, OfTheDefaultCreditsNoRainInThePeakMonthAndHalfElsewhere) {
    const SiteClimate climate = merrow_climate();
    const ZoneNumbers numbers = numbers_of(north_lawn(), climate);
    const YearNeed year = year_need(numbers, climate);
    ASSERT_EQ(year.peak_month_index, 6);
    EXPECT_EQ(year.months[6].effective_rain_mm, 0.0);
    EXPECT_EQ(year.months[6].net_mm, year.months[6].need_mm);
    for (std::size_t m = 0; m < kMonths; ++m) {
        EXPECT_LE(year.months[m].effective_rain_mm, *climate.months[m].rain_mm / 2.0);
        EXPECT_LE(year.months[m].net_mm_per_day, year.months[6].net_mm_per_day);
    }
    EXPECT_GT(year.months[9].effective_rain_mm, 0.0);
}

TEST(NetNeed, OfADormantZoneIsNothing) {
    SiteClimate climate = merrow_climate();
    for (MonthClimate& month : climate.months) month.tmean_c = -5.0;
    const YearNeed year = year_need(numbers_of(north_lawn(), climate), climate);
    EXPECT_EQ(year.peak_month_index, std::nullopt);
    Zone awake = north_lawn();
    awake.dormant_months = Monthly<bool>{};
    EXPECT_EQ(year_need(numbers_of(awake, climate), climate).peak_month_index, 6);
}

// Without rain credit the error of the need is the coefficient times that of ETo: arithmetic.
TEST(NetNeed, ErrorWithoutRainCredit) {
    const SiteClimate climate = merrow_climate();
    const ZoneNumbers numbers = numbers_of(north_lawn(), climate);
    EXPECT_NEAR(net_need_se_mm(numbers, climate, 6, true).value_or(0.0), 0.8 * 7.8, 1e-9);
}

// Against a simulation: independent normal errors of ETo and rain, through the same month.
TEST(NetNeed, ErrorWithRainCreditIsThatOfASimulation) {
    SiteClimate climate = merrow_climate();
    climate.months[6].rain_mm = 60.0;
    climate.months[6].rain_se_mm = 6.0;
    Zone zone = lawn_with({RainRule::scs});
    zone.root_depth_mm = 600.0;
    const ZoneNumbers numbers = numbers_of(zone, climate);
    const double se_mm = net_need_se_mm(numbers, climate, 6, true).value_or(0.0);

    std::mt19937 random(20'250'702);
    std::normal_distribution<double> eto(153.7, 7.8);
    std::normal_distribution<double> rain(60.0, 6.0);
    constexpr int kDraws = 20'000;
    double sum = 0.0;
    double sum_of_squares = 0.0;
    for (int draw = 0; draw < kDraws; ++draw) {
        const double need_mm = 0.8 * eto(random);
        const double net_mm =
            need_mm - scs_effective_rain_mm(rain(random), need_mm, numbers.usable_storage_mm);
        sum += net_mm;
        sum_of_squares += net_mm * net_mm;
    }
    const double mean_mm = sum / kDraws;
    const double simulated_mm = std::sqrt(sum_of_squares / kDraws - mean_mm * mean_mm);
    EXPECT_NEAR(se_mm, simulated_mm, 0.03 * simulated_mm);
}

TEST(NetNeed, ErrorIsUnknownWhereAnErrorThatMattersIs) {
    SiteClimate climate = merrow_climate();
    climate.months[6].rain_se_mm.reset();
    const ZoneNumbers half = numbers_of(north_lawn(), climate);
    EXPECT_TRUE(net_need_se_mm(half, climate, 6, true));
    const ZoneNumbers scs = numbers_of(lawn_with({RainRule::share, 0.5}), climate);
    EXPECT_FALSE(net_need_se_mm(scs, climate, 6, true));
    climate.months[6].eto_se_mm.reset();
    EXPECT_FALSE(net_need_se_mm(half, climate, 6, true));
}

// The 80th percentile of the standard normal: 0.8416, any table.
TEST(NetNeed, EightiethPercentile) {
    EXPECT_NEAR(0.5 * std::erfc(-kEightiethPercentile / std::sqrt(2.0)), 0.8, 1e-5);
}

}  // namespace
}  // namespace thirstline
