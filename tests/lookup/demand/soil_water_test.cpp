#include "lookup/demand/soil_water.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

// 2.125 in/ft over half a foot, half of it usable: 0.53 in, arithmetic.
TEST(SoilWater, UsableStorageOfALawn) {
    const double root_zone_mm = root_zone_water_mm(2.125 * 25.4 / 0.3048, 152.4);
    EXPECT_NEAR(root_zone_mm, 2.125 / 2.0 * 25.4, 1e-9);
    EXPECT_NEAR(usable_storage_mm(root_zone_mm, 0.5) / 25.4, 0.53125, 1e-9);
}

TEST(SoilWater, IntervalIsWholeDays) {
    EXPECT_EQ(longest_interval_days(13.5, 4.0), 3);
    EXPECT_EQ(longest_interval_days(12.0, 4.0), 3);
    EXPECT_EQ(longest_interval_days(0.3, 0.1), 3);  // 2.9999999999999996 in binary
    EXPECT_EQ(longest_interval_days(3.0, 4.0), 0);
    EXPECT_EQ(longest_interval_days(10.0, 0.0), std::nullopt);
    EXPECT_EQ(longest_interval_days(10.0, 1e-300), 366);
}

// FAO-56 eq. 84, Ks = (TAW - Dr) / ((1 - p) TAW), for a lawn of 27 mm and p = 0.5: at 20.25 mm it
// is (27 - 20.25) / 13.5 = 0.5.
TEST(SoilWater, HalfStressIsWhereFaosCoefficientIsOneHalf) {
    const double depletion_mm = half_stress_depletion_mm(13.5, 27.0);
    EXPECT_EQ((27.0 - depletion_mm) / ((1.0 - 0.5) * 27.0), 0.5);
}

TEST(SoilWater, IntervalWithRainIsLimitedByNetNeedAndDrySpell) {
    EXPECT_EQ(longest_wait_with_rain_days(13.5, 27.0, 4.0, 4.0), 3);  // no rain: as without
    EXPECT_EQ(longest_wait_with_rain_days(13.5, 27.0, 4.0, 3.0), 4);  // 13.5 / 3.0 = 4.5
    EXPECT_EQ(longest_wait_with_rain_days(13.5, 27.0, 4.0, 0.5), 5);  // 20.25 / 4.0 = 5.06
    EXPECT_EQ(longest_wait_with_rain_days(13.5, 27.0, 4.0, 0.0), 5);
    EXPECT_EQ(longest_wait_with_rain_days(13.5, 27.0, 0.0, 0.0), std::nullopt);
}

// 1/8, 1/4, 1/2, 3/4 and 1 in are what rain sensors can be set to (from memory).
TEST(SoilWater, RainShutoffIsASensorStepRoundedDown) {
    EXPECT_EQ(rain_shutoff_mm(13.5), 6);
    EXPECT_EQ(rain_shutoff_mm(2.0), 3);
    EXPECT_EQ(rain_shutoff_mm(500.0), 25);
    EXPECT_EQ(rain_shutoff_mm(38.0), 19);
    EXPECT_EQ(rain_shutoff_mm(37.9), 13);
}

}  // namespace
}  // namespace thirstline
