#include "lookup/demand/cycle_and_soak.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

// Clay loam at 4 to 6 % slope (intake 0.20 in/h, surface storage 0.22 in: handbook, from memory)
// under 1.4 in/h: 60 · 0.22 / 1.2 = 11 minutes, then 60 · 0.22 / 0.20 = 66 to sink in.
TEST(CycleAndSoak, LongestRunAndLeastSoak) {
    const SoilSurface soil{0.20 * 25.4, 0.22 * 25.4};
    EXPECT_NEAR(longest_cycle_minutes(soil, 1.4 * 25.4).value_or(0.0), 11.0, 1e-9);
    EXPECT_NEAR(least_soak_minutes(soil), 66.0, 1e-9);
}

TEST(CycleAndSoak, ASoilThatTakesAllHasNoLimit) {
    EXPECT_EQ(longest_cycle_minutes({10.0, 5.0}, 10.0), std::nullopt);
    EXPECT_EQ(longest_cycle_minutes({10.0, 5.0}, 4.0), std::nullopt);
}

TEST(CycleAndSoak, FewestEqualCycles) {
    const Cycles three = cycles_of(25.0, 11.0, 66.0);
    EXPECT_EQ(three.count, 3);
    EXPECT_DOUBLE_EQ(three.minutes_each, 25.0 / 3.0);
    EXPECT_EQ(three.soak_minutes, 66.0);
    EXPECT_EQ(cycles_of(22.0, 11.0, 66.0).count, 2);
    EXPECT_EQ(cycles_of(22.01, 11.0, 66.0).count, 3);
    const Cycles one = cycles_of(25.0, std::nullopt, 66.0);
    EXPECT_EQ(one.count, 1);
    EXPECT_EQ(one.soak_minutes, 0.0);
    EXPECT_EQ(cycles_of(0.0, 11.0, 66.0).count, 0);
}

}  // namespace
}  // namespace thirstline
