#include "lookup/demand_output/controller_settings.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace thirstline {
namespace {

CycleSetting setting(int cycles, double minutes, double soak = 60.0,
                     std::optional<double> longest = std::nullopt,
                     std::optional<double> spare = std::nullopt, bool may_add = true) {
    return cycle_setting({cycles, minutes, soak, longest, spare, may_add});
}

TEST(ControllerSettings, AreWholeMinutesToTheNearestOrUp) {
    EXPECT_EQ(setting(3, 8.04), (CycleSetting{3, 8.0}));
    EXPECT_EQ(setting(1, 24.4), (CycleSetting{1, 24.0}));
    EXPECT_EQ(setting(1, 24.6), (CycleSetting{1, 25.0}));
    EXPECT_EQ(setting(1, 3.4), (CycleSetting{1, 4.0})) << "3 would be an eighth too little";
    EXPECT_EQ(setting(1, 0.2), (CycleSetting{1, 1.0}));
    EXPECT_EQ(setting(0, 0.0), CycleSetting{});
}

TEST(ControllerSettings, TakeACycleMoreWhereWholeMinutesWouldRunOff) {
    EXPECT_EQ(setting(2, 12.6, 60.0, 12.8), (CycleSetting{3, 9.0}));
    EXPECT_EQ(setting(2, 12.6, 60.0, 12.8, 70.0), (CycleSetting{3, 9.0}));
    // … but not where the night or a cap on runs forbids it, nor where the soak is not known.
    EXPECT_EQ(setting(2, 12.6, 60.0, 12.8, 50.0), (CycleSetting{2, 12.6}));
    EXPECT_EQ(setting(2, 12.6, 60.0, 12.8, std::nullopt, false), (CycleSetting{2, 12.6}));
    EXPECT_EQ(setting(1, 12.6, 0.0, 12.8), (CycleSetting{1, 12.6}));
}

TEST(ControllerSettings, NeverPassTheRunOffLimitOrTheNightNorFallShort) {
    std::mt19937 random(20'240'511);
    std::uniform_real_distribution<double> minutes(0.3, 60.0);
    std::uniform_real_distribution<double> excess(1.0, 1.5);
    std::uniform_real_distribution<double> spare(0.0, 90.0);
    std::uniform_int_distribution<int> cycles(1, 6);
    int whole = 0;
    for (int i = 0; i < 20'000; ++i) {
        const double each = minutes(random);
        const double longest = each * excess(random);
        const double left = spare(random);
        const int count = cycles(random);
        const CycleSetting found = setting(count, each, 20.0, longest, left);
        const double asked = count * each;
        const double total = found.cycles_per_day * found.minutes_per_cycle;
        ASSERT_LE(found.minutes_per_cycle, longest);
        ASSERT_GE(total, asked * (1.0 - kNegligibleShare) - 1e-9);
        ASSERT_LE(total - asked + (found.cycles_per_day - count) * 20.0, left + 1e-9);
        if (found.minutes_per_cycle == std::round(found.minutes_per_cycle)) ++whole;
    }
    EXPECT_GT(whole, 10'000);
}

}  // namespace
}  // namespace thirstline
