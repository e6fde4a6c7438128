// A site's dry year against the formula of FORMAT.md, section 6, calculated here.
#include "lookup/site/wet_and_dry_years.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace thirstline {
namespace {

/// July: 150 mm of ETo and 20 mm of rain; other months half as much.
SiteProfile summer_profile() {
    SiteProfile profile;
    SlopesOfSite slopes;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const double share = m == 6 ? 1.0 : 0.5;
        MonthProfile& month = profile.months[m];
        month.eto_mm = 150.0 * share;
        month.eto_mm_per_day = *month.eto_mm / kDaysInMonth[m];
        month.eto_se_mm = 6.0;
        month.rain_mm = 20.0 * share;
        month.rain_se_mm = 2.0;
        month.tmax_c = 30.0;
        slopes.slopes.eto_share[m] = 0.05;
        slopes.slopes.rain_share[m] = m == 0 ? -0.9 : -0.25;
    }
    slopes.slopes.deviate_of_normals = -0.2;
    slopes.error_share = 0.3;
    profile.slopes = slopes;
    derive_year(profile);
    return profile;
}

TEST(WetAndDryYears, AreTheNormalsMovedAlongTheSlopes) {
    const SiteProfile normals = summer_profile();
    SiteProfile dry = normals;
    ASSERT_TRUE(describe_year(dry, 80.0));
    const double moved = 0.8416 + 0.2;  // 0.8416: tables of the normal distribution
    const double eto_factor = 1.0 + moved * 0.05;
    const double rain_factor = 1.0 - moved * 0.25;
    EXPECT_NEAR(*dry.months[6].eto_mm, 150.0 * eto_factor, 1e-3);
    EXPECT_NEAR(*dry.months[6].eto_mm_per_day, 150.0 / 31.0 * eto_factor, 1e-4);
    EXPECT_NEAR(*dry.months[6].rain_mm, 20.0 * rain_factor, 1e-3);
    EXPECT_NEAR(*dry.months[0].rain_mm, 10.0 * (1.0 - moved * 0.9), 1e-3);
    EXPECT_NEAR(*dry.months[6].eto_se_mm,
                std::hypot(6.0 * eto_factor, 150.0 * (eto_factor - 1.0) * 0.3), 1e-3);
    EXPECT_NEAR(*dry.months[6].rain_se_mm,
                std::hypot(2.0 * rain_factor, 20.0 * (1.0 - rain_factor) * 0.3), 1e-3);
    EXPECT_EQ(dry.months[6].tmax_c, 30.0);
    EXPECT_NEAR(*dry.annual_eto_mm, *normals.annual_eto_mm * eto_factor, 1e-2);
    ASSERT_TRUE(dry.year);
    EXPECT_EQ(dry.year->percent, 80.0);
    EXPECT_GT(dry.year->lawn_need_mm, dry.year->lawn_need_of_normals_mm);
    EXPECT_DOUBLE_EQ(dry.year->lawn_need_mm, dry.year->lawn_need_of_dry_year_mm);
    EXPECT_NEAR(dry.year->percent_above_normals, 57.93, 0.01);  // tables: 0.5793 above −0.2

    SiteProfile wettest = normals;
    ASSERT_TRUE(describe_year(wettest, 2.0));
    EXPECT_LT(wettest.year->lawn_need_mm, wettest.year->lawn_need_of_normals_mm);
    SiteProfile driest = normals;
    ASSERT_TRUE(describe_year(driest, 98.0));
    EXPECT_EQ(driest.months[0].rain_mm, 0.0) << "never negative";
}

TEST(WetAndDryYears, SayWhatTheMeanHides) {
    SiteProfile mean = summer_profile();
    ASSERT_TRUE(describe_year(mean, std::nullopt));
    EXPECT_EQ(mean.months[6].eto_mm, 150.0);
    ASSERT_TRUE(mean.year);
    EXPECT_FALSE(mean.year->percent);
    EXPECT_GT(mean.year->lawn_need_of_dry_year_mm, mean.year->lawn_need_mm);
}

TEST(WetAndDryYears, OfFilesWithoutThemAreAnError) {
    SiteProfile without = summer_profile();
    without.slopes.reset();
    ASSERT_TRUE(describe_year(without, std::nullopt));
    EXPECT_FALSE(without.year);
    const auto dry = describe_year(without, 80.0);
    ASSERT_FALSE(dry);
    EXPECT_EQ(dry.error().code, ErrorCode::no_data);
    EXPECT_EQ(dry.error().message, "the file has no wet and dry years here, only the means");
    SiteProfile rainless = summer_profile();
    rainless.months[3].rain_mm.reset();
    EXPECT_FALSE(describe_year(rainless, 80.0));
    EXPECT_TRUE(describe_year(rainless, std::nullopt));
}

TEST(WetAndDryYears, HaveNamesAndPercentages) {
    EXPECT_EQ(*year_percent_named("mean"), std::nullopt);
    EXPECT_EQ(*year_percent_named("dry"), 80.0);
    EXPECT_EQ(*year_percent_named("wet"), 20.0);
    EXPECT_EQ(*year_percent_named("95"), 95.0);
    for (const char* name : {"", "driest", "0", "1.9", "99", "nan", "80%"}) {
        const auto percent = year_percent_named(name);
        ASSERT_FALSE(percent) << name;
        EXPECT_EQ(percent.error().code, ErrorCode::usage);
    }
}

}  // namespace
}  // namespace thirstline
