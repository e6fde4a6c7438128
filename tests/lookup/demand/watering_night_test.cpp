#include "lookup/demand/watering_night.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

namespace thirstline {
namespace {

TEST(WateringNight, OfOneZoneIsItsRunsAndTheSoaksBetween) {
    EXPECT_EQ(night_minutes({{3, 8.0, 60.0}}), 8.0 + 60.0 + 8.0 + 60.0 + 8.0);
    EXPECT_EQ(night_minutes({{1, 8.0, 0.0}}), 8.0);
    EXPECT_EQ(night_minutes({}), 0.0);
    EXPECT_EQ(night_minutes({{0, 0.0, 0.0}}), 0.0);
}

// By hand: A 0–10, B 10–25; A soaks to 40: A 40–50, B (ready at 45) 50–65; A soaks to 80: 80–90.
TEST(WateringNight, InterleavesSoaks) {
    EXPECT_EQ(night_minutes({{3, 10.0, 30.0}, {2, 15.0, 20.0}}), 90.0);
}

// By hand: four zones of 20 minutes in two cycles of 10, 30 to soak: when the first comes round
// again after 40 minutes its soak is just over, so that nothing waits.
TEST(WateringNight, OfEnoughZonesHasNoIdleTime) {
    const Cycles zone{2, 10.0, 30.0};
    EXPECT_EQ(night_minutes({zone, zone, zone, zone}), 80.0);
    // With three, the first must wait 10 minutes more.
    EXPECT_EQ(night_minutes({zone, zone, zone}), 70.0);
}

// By hand: in the order given 0–30, 30–40 and, after the soak, 100–110; with the zone first that
// takes longest to its end, 0–10, then 10–40 in its soak, and 70–80.
TEST(WateringNight, StartsTheLongestSoakFirst) {
    EXPECT_EQ(night_minutes({{1, 30.0, 0.0}, {2, 10.0, 60.0}}), 80.0);
}

TEST(WateringNight, LiesBetweenItsBounds) {
    std::mt19937 random(20'250'701);
    std::uniform_int_distribution<int> count(1, 5);
    std::uniform_real_distribution<double> minutes(1.0, 30.0);
    std::uniform_real_distribution<double> soak(0.0, 90.0);
    for (int night = 0; night < 3000; ++night) {
        std::vector<Cycles> zones;
        double open = 0.0;
        double in_a_row = 0.0;
        double longest_alone = 0.0;
        for (int z = count(random); z > 0; --z) {
            zones.push_back({count(random), minutes(random), soak(random)});
            const double alone = night_minutes({zones.back()});
            open += zones.back().count * zones.back().minutes_each;
            in_a_row += alone;
            longest_alone = std::max(longest_alone, alone);
        }
        const double elapsed = night_minutes(zones);
        EXPECT_GE(elapsed, open - 1e-9);
        EXPECT_GE(elapsed, longest_alone - 1e-9);
        EXPECT_LE(elapsed, in_a_row + 1e-9);
    }
}

}  // namespace
}  // namespace thirstline
