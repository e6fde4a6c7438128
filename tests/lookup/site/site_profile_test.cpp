#include "lookup/site/site_profile.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

using test::kEtoOfMonth;
using test::kRainOfMonth;

SiteProfile profile_at(LatLonE7 position, const test::MerrowOptions& options = {},
                       std::optional<std::int32_t> elevation_m = std::nullopt) {
    const auto database = test::open_merrow(options);
    const auto answer = database->answer(position, elevation_m);
    EXPECT_TRUE(answer && answer->found);
    return site_profile(*answer, database->layout());
}

TEST(SiteProfile, OfALatticePointIsThePointsOwn) {
    const SiteProfile profile = profile_at({472'500'000, -305'000'000});  // row 1, column 2
    EXPECT_TRUE(profile.point.interpolated);
    EXPECT_EQ(profile.point.distance_km, 0.0);
    EXPECT_EQ(profile.point.elevation_m, 140.0);
    EXPECT_TRUE(profile.has_temperature);
    double eto_mm_a_year = 0.0;
    double rain_mm_a_year = 0.0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthProfile& month = profile.months[m];
        const double eto_mm_per_day = (kEtoOfMonth[m] + 8) / 100.0;
        EXPECT_EQ(month.eto_mm_per_day, eto_mm_per_day);
        EXPECT_DOUBLE_EQ(*month.eto_mm, eto_mm_per_day * kDaysInMonth[m]);
        EXPECT_DOUBLE_EQ(*month.eto_se_mm, 0.2 * kDaysInMonth[m]);
        EXPECT_EQ(month.rain_mm, kRainOfMonth[m] + 8.0);
        EXPECT_EQ(month.rain_se_mm, 10.0);
        EXPECT_EQ(month.tmax_c, 2.0 * static_cast<double>(m) + 0.5);
        EXPECT_EQ(month.tmin_c, -3.0);
        EXPECT_DOUBLE_EQ(*month.percent_of_peak, 100.0 * (kEtoOfMonth[m] + 8) / (560.0 + 8));
        eto_mm_a_year += *month.eto_mm;
        rain_mm_a_year += *month.rain_mm;
    }
    EXPECT_EQ(profile.peak_month, 7);
    EXPECT_DOUBLE_EQ(*profile.annual_eto_mm, eto_mm_a_year);
    EXPECT_DOUBLE_EQ(*profile.annual_rain_mm, rain_mm_a_year);
}

TEST(SiteProfile, BetweenPointsIsTheirWeightedMean) {
    const SiteProfile profile = profile_at({471'250'000, -306'250'000});  // halfway both ways
    EXPECT_EQ(profile.months[0].eto_mm_per_day, (40 + 4) / 100.0);
    EXPECT_EQ(profile.months[0].rain_mm, 120 + 6.0);
    EXPECT_EQ(profile.point.elevation_m, 120.0);
}

TEST(SiteProfile, MovesWithTheElevationAskedFor) {
    const SiteProfile profile = profile_at({472'500'000, -305'000'000}, {}, 1140);
    EXPECT_EQ(profile.point.elevation_m, 140.0);  // the data's own
    EXPECT_EQ(profile.point.shifted_by_m, 1000.0);
    EXPECT_DOUBLE_EQ(*profile.months[6].eto_mm_per_day, 5.68 + 0.3);
}

TEST(SiteProfile, OfTheNearestPointHasItsDistance) {
    const SiteProfile profile = profile_at({467'000'000, -305'000'000});
    EXPECT_FALSE(profile.point.interpolated);
    EXPECT_EQ(profile.point.at, (LatLonE7{470'000'000, -305'000'000}));
    // 0.3 degrees of a meridian at 111.195 km a degree
    EXPECT_NEAR(profile.point.distance_km, 33.36, 0.02);
}

TEST(SiteProfile, LacksWhatTheFileLacks) {
    const SiteProfile profile =
        profile_at({472'500'000, -305'000'000}, {.temperature = false, .standard_errors = false});
    EXPECT_FALSE(profile.has_temperature);
    EXPECT_FALSE(profile.months[3].tmax_c);
    EXPECT_FALSE(profile.months[3].eto_se_mm);
    EXPECT_FALSE(profile.months[3].rain_se_mm);
    EXPECT_TRUE(profile.months[3].eto_mm);
}

TEST(SiteProfile, WithoutAnyEtoHasNoPeak) {
    const SiteProfile profile = profile_at({472'500'000, -305'000'000}, {.no_eto_at_all = true});
    EXPECT_FALSE(profile.peak_month);
    EXPECT_EQ(profile.annual_eto_mm, 0.0);
    for (const MonthProfile& month : profile.months) EXPECT_FALSE(month.percent_of_peak);
}

/// An answer of ETo rates alone, in the file's integers.
Answer answer_of(const Monthly<std::int32_t>& eto) {
    Answer answer;
    answer.found = true;
    for (auto& values : answer.values) values.fill(kMissingValue);
    answer.of(LayerId::eto) = eto;
    return answer;
}

TileLayout eto_layout(std::int32_t divisor) {
    Layer layer = *layer_by_id(static_cast<int>(LayerId::eto));
    layer.divisor = divisor;
    return {8, {layer}};
}

TEST(SiteProfile, TiesGoToTheFirstMonthAndAreOfTheDailyRate) {
    // February's rate equals March's; March has the greater sum.
    const SiteProfile profile =
        site_profile(answer_of({1, 900, 900, 899, 1, 1, 1, 1, 1, 1, 1, 1}), eto_layout(100));
    EXPECT_EQ(profile.peak_month, 2);
    EXPECT_EQ(profile.months[2].percent_of_peak, 100.0);
}

TEST(SiteProfile, GoesByTheFilesOwnDivisor) {
    Monthly<std::int32_t> eto{};
    eto.fill(50'000);
    EXPECT_EQ(site_profile(answer_of(eto), eto_layout(100)).months[0].eto_mm_per_day, 5.0);
    EXPECT_EQ(site_profile(answer_of(eto), eto_layout(1000)).months[0].eto_mm_per_day, 0.5);
}

TEST(SiteProfile, AnUnknownMonthLeavesTheYearUnknown) {
    Monthly<std::int32_t> eto{};
    eto.fill(50'000);
    eto[4] = kMissingValue;
    const SiteProfile profile = site_profile(answer_of(eto), eto_layout(100));
    EXPECT_FALSE(profile.months[4].eto_mm);
    EXPECT_FALSE(profile.months[4].percent_of_peak);
    EXPECT_FALSE(profile.annual_eto_mm);
    EXPECT_FALSE(profile.annual_rain_mm);
    EXPECT_EQ(profile.peak_month, 1);
}

TEST(SiteProfile, TheLeastCertainMethodOfTheYearIsThePoints) {
    Answer answer = answer_of({});
    const std::uint16_t lesser = method_code({.equation = EtoEquation::hargreaves});
    answer.method.fill(method_code({.equation = EtoEquation::penman_monteith}));
    answer.method[9] = lesser;
    const SiteProfile profile = site_profile(answer, eto_layout(100));
    EXPECT_EQ(profile.point.method, method_of_code(lesser));
    EXPECT_EQ(profile.months[0].method.equation, EtoEquation::penman_monteith);
}

}  // namespace
}  // namespace thirstline
