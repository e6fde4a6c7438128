#include "lookup/demand/irrigation_depth.hpp"

#include <gtest/gtest.h>

#include "lookup/demand/exact_units.hpp"

namespace thirstline {
namespace {

TEST(IrrigationDepth, GiveTheConstantsOfTheTrade) {
    // Handbook of the trade, exact: 0.623 gal on a square foot an inch deep; 748.05 gal in 100 ft³.
    EXPECT_NEAR(kM2PerFt2 * kMmPerInch / kLitresPerGallon, 0.623, 5e-4);
    EXPECT_NEAR(kLitresPerHundredCubicFeet / kLitresPerGallon, 748.05, 5e-3);
    // The gallon is 231 cubic inches.
    EXPECT_NEAR(kLitresPerGallon, 231.0 * 25.4 * 25.4 * 25.4 / 1e6, 1e-12);
}

// PR[in/h] = 96.25 gpm / ft² (231 · 60 / 144) and, for drip, 1.604 gal/h / ft²: exact.
TEST(PrecipitationRate, IsTheTradesInUsUnits) {
    const auto in_per_h = [](double gpm, double ft2) {
        return precipitation_rate_mm_per_h(gpm * kLitresPerGallon, ft2 * kM2PerFt2) / kMmPerInch;
    };
    EXPECT_NEAR(in_per_h(1.0, 1.0), 96.25, 1e-9);
    EXPECT_NEAR(in_per_h(12.0, 1500.0), 96.25 * 12.0 / 1500.0, 1e-12);
    EXPECT_NEAR(in_per_h(1.0 / 60.0, 1.0), 1.604, 5e-4);
}

TEST(PrecipitationRate, TurnsBackIntoTheFlow) {
    EXPECT_NEAR(zone_flow_l_per_min(precipitation_rate_mm_per_h(30.0, 120.0), 120.0), 30.0, 1e-12);
}

// 1/(0.4 + 0.6 DU): irrigation trade, from memory; the ends are arithmetic.
TEST(SchedulingMultiplier, HasItsKnownValues) {
    EXPECT_DOUBLE_EQ(scheduling_multiplier(1.0), 1.0);
    EXPECT_NEAR(scheduling_multiplier(0.65), 1.266, 5e-4);
    EXPECT_NEAR(scheduling_multiplier(0.5), 1.4286, 5e-5);
}

// FAO-29's equation, from memory: water of half the tolerated salinity asks for a ninth.
TEST(LeachingRequirement, IsFaos) {
    EXPECT_NEAR(leaching_requirement(1.5, 3.0), 1.0 / 9.0, 1e-12);
    EXPECT_EQ(leaching_requirement(0.0, 3.0), 0.0);
}

TEST(NetRequirement, IsNeverNegative) {
    EXPECT_EQ(net_requirement_mm(100.0, 30.0), 70.0);
    EXPECT_EQ(net_requirement_mm(20.0, 30.0), 0.0);
}

TEST(RunMinutes, IsSixtyDepthsOverTheRate) {
    EXPECT_DOUBLE_EQ(run_minutes(10.0, 30.0), 20.0);
    EXPECT_DOUBLE_EQ(applied_depth_mm(run_minutes(7.3, 35.56), 35.56), 7.3);
}

// Drip, gallons a plant and day = 0.623 · ETo[in/day] · PF · ft² / efficiency: handbook, exact.
TEST(RunMinutes, OfDripGiveTheHandbooksGallonsAPlant) {
    constexpr double kEtoIn = 0.25;
    constexpr double kFactor = 0.5;
    constexpr double kFt2 = 20.0;
    const double gross_mm = kEtoIn * kMmPerInch * kFactor / 0.81;
    const double rate =
        precipitation_rate_mm_per_h(2.0 * kLitresPerGallon / 60.0, kFt2 * kM2PerFt2);
    const double gallons = run_minutes(gross_mm, rate) * 2.0 / 60.0;
    EXPECT_NEAR(gallons, 0.623 * kEtoIn * kFactor * kFt2 / 0.81, 2e-3);
}

}  // namespace
}  // namespace thirstline
