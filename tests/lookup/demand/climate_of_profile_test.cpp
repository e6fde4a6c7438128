#include "lookup/demand/climate_of_profile.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

SiteProfile profile() {
    SiteProfile profile;
    profile.point.elevation_m = 400.0;
    profile.point.shifted_by_m = -20.0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        MonthProfile& month = profile.months[m];
        month.eto_mm_per_day = 2.0;
        month.eto_mm = 2.0 * kDaysInMonth[m];
        month.rain_mm = 30.0;
        month.tmax_c = 20.0;
        month.tmin_c = 8.0;
    }
    return profile;
}

TEST(ClimateOfProfile, CopiesKnownValues) {
    SiteProfile site = profile();
    site.months[1].eto_se_mm = 4.0;
    site.months[2].tmin_c.reset();
    const auto climate = climate_of_profile(site, ReferenceCrop::short_grass);
    ASSERT_TRUE(climate);
    EXPECT_EQ(climate->elevation_m, 380.0);
    EXPECT_EQ(climate->months[1].eto_mm, 56.5);
    EXPECT_EQ(climate->months[1].eto_mm_per_day, 2.0);
    EXPECT_EQ(climate->months[1].eto_se_mm, 4.0);
    EXPECT_EQ(climate->months[0].eto_se_mm, std::nullopt);
    EXPECT_EQ(climate->months[0].tmean_c, 14.0);
    EXPECT_EQ(climate->months[2].tmean_c, std::nullopt);
    EXPECT_EQ(climate->months[0].rain_days, std::nullopt);
}

TEST(ClimateOfProfile, NeedsTwelveMonthsOfReferenceEt) {
    SiteProfile site = profile();
    site.months[8].eto_mm.reset();
    const auto climate = climate_of_profile(site, ReferenceCrop::short_grass);
    ASSERT_FALSE(climate);
    EXPECT_EQ(climate.error().code, ErrorCode::no_data);
    EXPECT_NE(climate.error().message.find("September"), std::string::npos);
}

}  // namespace
}  // namespace thirstline
