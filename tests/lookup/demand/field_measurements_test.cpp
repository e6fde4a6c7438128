#include "lookup/demand/field_measurements.hpp"

#include <gtest/gtest.h>

#include <numeric>

#include "lookup/demand/exact_units.hpp"
#include "lookup/demand/irrigation_depth.hpp"

namespace thirstline {
namespace {

// By hand: sixteen cans of 18, 20, 20, 22 (lowest quarter, mean 20), twelve more with a sum of 336:
// sum 416, mean 26, DU 20/26. In 10 minutes 26 mm is 156 mm/h.
TEST(CatchCans, GiveTheRateAndTheUniformityOfTheLowestQuarter) {
    const std::vector<double> depths{22, 30, 28, 20, 26, 28, 30, 18,
                                     28, 26, 28, 20, 30, 28, 26, 28};
    ASSERT_EQ(std::accumulate(depths.begin(), depths.end(), 0.0), 386.0 + 30.0);
    const CatchCanTest test = catch_can_test(depths, 10.0);
    EXPECT_NEAR(test.rate_mm_per_h, 26.0 * 6.0, 1e-12);
    EXPECT_NEAR(test.lowest_quarter, 20.0 / 26.0, 1e-12);
}

// The constant of the audit guides: PR (in/h) = 3.66 V (ml) / (t (min) A (in²)), from memory;
// 60 min/h over 16.387 ml/in³ is 3.6614.
TEST(CatchCans, AgreeWithTheTradesConstantForMillilitres) {
    constexpr double kCm2PerIn2 = 2.54 * 2.54;
    const double mm = caught_depth_mm(40.0, 16.6 * kCm2PerIn2);
    const CatchCanTest test = catch_can_test({mm, mm, mm, mm}, 5.0);
    EXPECT_NEAR(test.rate_mm_per_h / kMmPerInch, 3.66 * 40.0 / (5.0 * 16.6), 1e-3);
    EXPECT_NEAR(test.lowest_quarter, 1.0, 1e-12);
}

TEST(CatchCans, CountWholeCansInTheLowestQuarter) {
    // Six cans: a quarter is 1.5, two cans of 1 and 2; five: one can.
    EXPECT_NEAR(catch_can_test({6, 5, 4, 3, 2, 1}, 60.0).lowest_quarter, 1.5 / 3.5, 1e-12);
    EXPECT_NEAR(catch_can_test({5, 4, 3, 2, 1}, 60.0).lowest_quarter, 1.0 / 3.0, 1e-12);
}

// The trade's constant: 96.3 gpm / ft² in in/h (from memory; exactly 96.25). A nozzle of 1.5 gpm
// that covers 15 ft x 15 ft brings 0.642 in/h.
TEST(Nozzles, AgreeWithTheTradesConstant) {
    const double rate = precipitation_rate_mm_per_h(1.5 * kLitresPerGallon, 225.0 * kM2PerFt2);
    EXPECT_NEAR(rate / kMmPerInch, 96.3 * 1.5 / 225.0, 1e-3);
}

// One point well inside each class of the triangle, and its corners.
TEST(SoilTextures, FollowTheTriangle) {
    using enum SoilTexture;
    struct Sample {
        double sand, clay;
        SoilTexture texture;
    };
    for (const Sample& one :
         {Sample{92, 4, SoilTexture::sand}, Sample{82, 6, loamy_sand}, Sample{65, 10, sandy_loam},
          Sample{40, 18, loam}, Sample{20, 15, silt_loam}, Sample{6, 6, SoilTexture::silt},
          Sample{60, 27, sandy_clay_loam}, Sample{33, 33, clay_loam},
          Sample{10, 34, silty_clay_loam}, Sample{52, 42, sandy_clay}, Sample{7, 47, silty_clay},
          Sample{20, 60, SoilTexture::clay}, Sample{100, 0, SoilTexture::sand},
          Sample{0, 100, SoilTexture::clay}, Sample{0, 0, SoilTexture::silt}}) {
        EXPECT_EQ(soil_texture(one.sand, one.clay), one.texture) << one.sand << ' ' << one.clay;
    }
    EXPECT_FALSE(soil_texture(60, 50));
    EXPECT_FALSE(soil_texture(-1, 50));
    EXPECT_EQ(available_water_of_soil_test_mm_per_m(32.0, 15.0), 170.0);
}

}  // namespace
}  // namespace thirstline
