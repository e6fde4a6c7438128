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

TEST(WateringNight, IsBetweenItsBounds) {
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

DayPattern on_slots(std::uint32_t slots, DayRule rule = DayRule::any) {
    DayPattern days;
    days.slots = slots;
    days.rule = rule;
    return days;
}

TEST(WateringNight, FindsEachDifferentNightOnce) {
    // Monday and Thursday together, Tuesday alone, in four equal weeks.
    const std::uint32_t week = 1U | 1U << 7 | 1U << 14 | 1U << 21;
    const auto nights =
        different_nights({on_slots(week | week << 3), on_slots(week << 1), on_slots(week)});
    EXPECT_EQ(nights, (std::vector<Night>{{0, 2}, {1}, {0}}));
    // A weekday may fall on any date.
    EXPECT_EQ(different_nights({on_slots(week), on_slots(0b1010, DayRule::even_dates)}),
              (std::vector<Night>{{0, 1}}));
    EXPECT_TRUE(different_nights({on_slots(0)}).empty());
}

// By hand: A 0–10, B 10–25, A soaks to 40: 40–50. With two valves at once both open at 0.
TEST(WateringNight, OpensSeveralValvesWhereTheFlowAllows) {
    const std::vector<NightRun> runs{{{2, 10.0, 30.0}, 20.0}, {{1, 15.0, 0.0}, 25.0}};
    const Night both{0, 1};
    const auto starts = [&](const ValveLimits& limits) {
        return night_layout(runs, {both}, limits).starts;
    };
    const std::vector<std::vector<double>> in_turn{{0.0, 40.0}, {10.0}};
    EXPECT_EQ(starts({1, 100.0}), in_turn);
    EXPECT_EQ(starts({2, 44.0}), in_turn);  // 45 l/min are too much
    EXPECT_EQ(starts({2, 45.0}), (std::vector<std::vector<double>>{{0.0, 40.0}, {0.0}}));
    // Zones of different nights need not wait for each other.
    EXPECT_EQ(night_layout(runs, {{0}, {1}}, {}).starts,
              (std::vector<std::vector<double>>{{0.0, 40.0}, {0.0}}));
}

// Whatever the nights: soaks are kept, and no night has more open than the limits allow.
TEST(WateringNight, LayoutsKeepTheLimitsInEveryNight) {
    std::mt19937 random(20'261'130);
    const auto whole = [&](int least, int greatest) {
        return std::uniform_int_distribution<int>(least, greatest)(random);
    };
    for (int site = 0; site < 500; ++site) {
        std::vector<NightRun> runs;
        std::vector<DayPattern> days;
        for (int z = whole(1, 6); z > 0; --z) {
            runs.push_back(
                {{whole(1, 4), 1.0 * whole(1, 20), 1.0 * whole(0, 60)}, 1.0 * whole(5, 40)});
            days.push_back(on_slots(static_cast<std::uint32_t>(whole(1, 127))));
        }
        const ValveLimits limits{whole(1, 3), 50.0};
        const std::vector<Night> nights = different_nights(days);
        const NightLayout layout = night_layout(runs, nights, limits);
        for (std::size_t z = 0; z < runs.size(); ++z) {
            ASSERT_EQ(layout.starts[z].size(), static_cast<std::size_t>(runs[z].cycles.count));
            for (std::size_t c = 1; c < layout.starts[z].size(); ++c) {
                ASSERT_GE(layout.starts[z][c] - layout.starts[z][c - 1],
                          runs[z].cycles.minutes_each + runs[z].cycles.soak_minutes);
            }
        }
        for (const Night& night : nights) {
            for (int minute = 0; minute < static_cast<int>(layout.minutes); ++minute) {
                int open = 0;
                double flow = 0.0;
                for (const std::size_t z : night) {
                    for (const double start : layout.starts[z]) {
                        if (minute < start || minute >= start + runs[z].cycles.minutes_each)
                            continue;
                        ++open;
                        flow += runs[z].flow_l_per_min;
                    }
                }
                ASSERT_LE(open, limits.valves_at_once) << site;
                ASSERT_TRUE(open <= 1 || flow <= 50.0) << site;
            }
        }
    }
}

}  // namespace
}  // namespace thirstline
