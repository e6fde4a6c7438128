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

// By hand: 16.7 minutes in whole ones, each cycle at most 5.
TEST(CycleAndSoak, KeysWholeMinutesNearestToTheNeed) {
    const Cycles keyed = keyed_cycles(16.7, {5.0, 60.2, 1.0, {}, 1000.0}, 0.95);
    EXPECT_EQ(keyed.count, 4);
    EXPECT_EQ(keyed.minutes_each, 4.0);  // 16, 4 % less; 5 cycles of 4 would be 20 % more
    EXPECT_EQ(keyed.soak_minutes, 61.0);
    const Cycles fives = keyed_cycles(16.7, {std::nullopt, 0.0, 5.0, {}, 1000.0}, 0.95);
    EXPECT_EQ(fives.count * fives.minutes_each, 20.0);  // 15 would be 10 % short
    const Cycles capped = keyed_cycles(16.7, {std::nullopt, 0.0, 1.0, {}, 16.7}, 0.95);
    EXPECT_EQ(capped.minutes_each, 16.0);
    EXPECT_EQ(keyed_cycles(16.7, {5.0, 60.0, 1.0, 2, 1000.0}, 0.95).count, 2);
    EXPECT_EQ(keyed_cycles(0.5, {std::nullopt, 0.0, 1.0, {}, 0.5}, 0.95).count, 0);
}

}  // namespace
}  // namespace thirstline
