#include "lookup/demand/net_need.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "lookup/demand/effective_rain.hpp"
#include "tests/support/merrow_site.hpp"

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

// By hand: all below half of the greatest need, none at it, half of it midway.
TEST(NetNeed, CreditFadesTowardsTheGreatestNeed) {
    EXPECT_EQ(credited_share_of_half(0.0), 1.0);
    EXPECT_EQ(credited_share_of_half(0.5), 1.0);
    EXPECT_NEAR(credited_share_of_half(0.75), 0.5, 1e-12);
    EXPECT_EQ(credited_share_of_half(1.0), 0.0);
}

// A cool, wet place: June needs a little more than July with half the rain credited, July more than
// June without. The month next to the peak must not fall off as if it needed no guard.
TEST(NetNeed, OfMonthsAlikeIsAlike) {
    SiteClimate climate = merrow_climate();
    for (MonthClimate& month : climate.months) month.eto_mm = 30.0;
    climate.months[5].eto_mm = 30 * 4.0;
    climate.months[5].rain_mm = 40.0;
    climate.months[6].eto_mm = 31 * 4.05;
    climate.months[6].rain_mm = 80.0;
    const ZoneNumbers numbers = numbers_of(north_lawn(), climate);
    const double june_with_half_mm =
        0.8 * 120.0 - effective_rain_mm(climate.months[5], 96.0, {}, numbers.usable_storage_mm);
    const double july_need_mm = 0.8 * 125.55;
    const double july_rain_mm =
        effective_rain_mm(climate.months[6], july_need_mm, {}, numbers.usable_storage_mm);
    ASSERT_GT(june_with_half_mm / 30, (july_need_mm - july_rain_mm) / 31);

    const YearNeed year = year_need(numbers, climate);
    ASSERT_EQ(year.peak_month_index, 5);
    EXPECT_EQ(year.months[5].effective_rain_mm, 0.0);
    EXPECT_NEAR(year.uncredited_rain_mm, 96.0 - june_with_half_mm, 1e-9);
    // By hand: July's share of June's need, each midway between with and without rain, and what is
    // left of its credit.
    const double share =
        (july_need_mm - july_rain_mm / 2) / 31 / ((96.0 + june_with_half_mm) / 2 / 30);
    EXPECT_NEAR(year.months[6].effective_rain_mm, july_rain_mm * 2.0 * (1.0 - share), 1e-9);
    EXPECT_GT(year.months[6].net_mm_per_day, 0.8 * year.months[5].net_mm_per_day);
}

// Where July then needs more than June does without any rain, July is the peak.
TEST(NetNeed, ThePeakIsTheGreatestOfWhatIsPlanned) {
    SiteClimate climate = merrow_climate();
    for (MonthClimate& month : climate.months) month.eto_mm = 30.0;
    climate.months[5].eto_mm = 30 * 4.0;
    climate.months[5].rain_mm = 20.0;
    climate.months[6].eto_mm = 31 * 4.4;
    climate.months[6].rain_mm = 50.0;
    const ZoneNumbers numbers = numbers_of(north_lawn(), climate);
    const YearNeed year = year_need(numbers, climate);
    ASSERT_EQ(year.peak_month_index, 6);
    EXPECT_EQ(year.months[6].effective_rain_mm, 0.0);
    for (const MonthNeed& month : year.months) {
        EXPECT_LE(month.net_mm_per_day, year.months[6].net_mm_per_day);
    }
}

// Shrubs in a place of summer rain: July's need is hardly above June's and August's, and so is what
// is planned for it. By the need with the rain credited alone it stood out threefold.
TEST(NetNeed, HasNoSpikeInThePeakMonth) {
    SiteClimate climate = merrow_climate();
    for (MonthClimate& month : climate.months) {
        month.eto_mm = 60.0;
        month.rain_mm = 60.0;
    }
    climate.months[5].eto_mm = 30 * 4.3;
    climate.months[6].eto_mm = 31 * 4.5;
    climate.months[7].eto_mm = 31 * 4.1;
    for (const std::size_t m : {5U, 6U, 7U}) climate.months[m].rain_mm = 100.0;
    Zone shrubs = north_lawn();
    shrubs.planting = PlantFactor{0.5};
    const YearNeed year = year_need(numbers_of(shrubs, climate), climate);
    ASSERT_EQ(year.peak_month_index, 6);
    EXPECT_GT(year.months[5].net_mm_per_day, 0.75 * year.months[6].net_mm_per_day);
    EXPECT_GT(year.months[7].net_mm_per_day, 0.6 * year.months[6].net_mm_per_day);
}

// Of two months, the one that needs more both with half the rain and without never gets less.
TEST(NetNeed, NeverGivesLessToTheMonthThatNeedsMore) {
    std::mt19937 random(20'250'705);
    const auto between = [&](double least, double greatest) {
        return std::uniform_real_distribution<double>(least, greatest)(random);
    };
    int compared = 0;
    for (int site = 0; site < 300; ++site) {
        SiteClimate climate = merrow_climate();
        for (std::size_t m = 0; m < kMonths; ++m) {
            climate.months[m].eto_mm = kDaysInMonth[m] * between(1.0, 6.0);
            climate.months[m].rain_mm = between(0.0, 150.0);
            climate.months[m].tmean_c = 15.0;
        }
        const ZoneNumbers numbers = numbers_of(north_lawn(), climate);
        const YearNeed year = year_need(numbers, climate);
        Monthly<double> need_mm_per_day{};
        Monthly<double> with_half_mm_per_day{};
        for (std::size_t m = 0; m < kMonths; ++m) {
            const double need_mm = year.months[m].need_mm;
            const double rain_mm =
                effective_rain_mm(climate.months[m], need_mm, {}, numbers.usable_storage_mm);
            need_mm_per_day[m] = need_mm / kDaysInMonth[m];
            with_half_mm_per_day[m] = (need_mm - rain_mm) / kDaysInMonth[m];
            ASSERT_LE(year.months[m].effective_rain_mm, rain_mm + 1e-9) << "never more than half";
        }
        for (std::size_t a = 0; a < kMonths; ++a) {
            for (std::size_t b = 0; b < kMonths; ++b) {
                if (need_mm_per_day[a] < need_mm_per_day[b]) continue;
                if (with_half_mm_per_day[a] < with_half_mm_per_day[b]) continue;
                ASSERT_GE(year.months[a].net_mm_per_day, year.months[b].net_mm_per_day - 1e-9)
                    << site << ' ' << a << ' ' << b;
                ++compared;
            }
        }
    }
    EXPECT_GT(compared, 5000);
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
    EXPECT_NEAR(net_need_se_mm(numbers, climate, 6, 0.0).value_or(0.0), 0.8 * 7.8, 1e-9);
}

// Against a simulation: independent normal errors of ETo and rain, through the same month.
TEST(NetNeed, ErrorWithRainCreditIsThatOfASimulation) {
    SiteClimate climate = merrow_climate();
    climate.months[6].rain_mm = 60.0;
    climate.months[6].rain_se_mm = 6.0;
    Zone zone = lawn_with({RainRule::scs});
    zone.root_depth_mm = 600.0;
    const ZoneNumbers numbers = numbers_of(zone, climate);
    const double se_mm = net_need_se_mm(numbers, climate, 6).value_or(0.0);

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
    EXPECT_TRUE(net_need_se_mm(half, climate, 6, 0.0));
    const ZoneNumbers scs = numbers_of(lawn_with({RainRule::share, 0.5}), climate);
    EXPECT_FALSE(net_need_se_mm(scs, climate, 6));
    climate.months[6].eto_se_mm.reset();
    EXPECT_FALSE(net_need_se_mm(half, climate, 6, 0.0));
}

// The 80th percentile of the standard normal: 0.8416, any table.
TEST(NetNeed, EightiethPercentile) {
    EXPECT_NEAR(0.5 * std::erfc(-kEightiethPercentile / std::sqrt(2.0)), 0.8, 1e-5);
}

}  // namespace
}  // namespace thirstline
