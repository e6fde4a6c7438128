// Answers worked out by hand, to the digit.
#include <gtest/gtest.h>

#include <utility>

#include "schema/answer/answer.hpp"
#include "schema/tile/method.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::World;
using test::WorldTiles;

/// Two by two points, one degree apart, from 0° N 0° E; eto 100, 200, 300, 400 hundredths of a mm a
/// day (south-west, south-east, north-west, north-east), elevations 0, 100, 200, 300 m.
class AnswerByHand : public testing::Test {
  protected:
    AnswerByHand() {
        world_.layout = test::layout_of(4);
        lattice_ = test::lattice_of(0, 0, 3'600, 2, 2, 4);
        lattice_.reach_m = 200'000;
        world_.lattices = {lattice_};
        for (int i = 0; i < 4; ++i) {
            const LatticePoint point{i / 2, i % 2};
            set(point, LayerId::eto, 100 * (i + 1));
            set(point, LayerId::rain, 10 * (i + 1));
            set(point, LayerId::tmin, -10 * (i + 1));
            set(point, LayerId::method, method_code({}) + i);
            tile().of(LayerId::elevation)[slot(point)] = 100 * i;
            tile().of(LayerId::period)[slot(point)] = i;
            tile().present[slot(point)] = 1;
        }
    }

    Tile& tile() { return world_.made_tile(lattice_, {0, 0}); }
    [[nodiscard]] std::size_t slot(LatticePoint point) const {
        return static_cast<std::size_t>(slot_in_tile(lattice_, point));
    }
    void set(LatticePoint point, LayerId id, std::int32_t value) {
        for (std::size_t month = 0; month < kMonths; ++month)
            tile().of(id)[slot(point) * kMonths + month] = value;
    }
    void gradient(LayerId id, std::int32_t value) {
        for (std::size_t month = 0; month < kMonths; ++month) tile().of(id)[month] = value;
    }
    Answer answer(LatLonE7 position, std::optional<std::int32_t> elevation_m = std::nullopt) {
        WorldTiles tiles(world_);
        auto result = answer_at(position, elevation_m, world_.lattices, world_.layout, tiles);
        EXPECT_TRUE(result.has_value());
        return result ? *result : Answer{};
    }

    World world_;
    Lattice lattice_;
};

constexpr std::int32_t kDegree = 10'000'000;

TEST_F(AnswerByHand, OnAPointIsThePoint) {
    for (int i = 0; i < 4; ++i) {
        const Answer at = answer({kDegree * (i / 2), kDegree * (i % 2)});
        EXPECT_TRUE(at.found && at.interpolated);
        EXPECT_EQ(at.of(LayerId::eto)[0], 10'000 * (i + 1));
        EXPECT_EQ(at.of(LayerId::eto)[11], 10'000 * (i + 1));
        EXPECT_EQ(at.of(LayerId::elevation)[0], 10'000 * i);
        EXPECT_EQ(at.method[3], 1024 + i);
        EXPECT_EQ(at.period, i);
        EXPECT_EQ(at.distance_m, 0);
    }
}

TEST_F(AnswerByHand, InTheMiddleIsTheMean) {
    const Answer at = answer({kDegree / 2, kDegree / 2});
    EXPECT_EQ(at.of(LayerId::eto)[0], 25'000);
    EXPECT_EQ(at.of(LayerId::rain)[0], 2'500);
    EXPECT_EQ(at.of(LayerId::tmin)[0], -2'500);
    EXPECT_EQ(at.of(LayerId::elevation)[0], 15'000);
    EXPECT_EQ(at.method[0], 1027);  // the least of them is the greatest code
    EXPECT_EQ(at.period, 0);        // equal weights: the first, south-west
    EXPECT_EQ(at.of(LayerId::tmax)[0], kMissingValue);
    EXPECT_EQ(at.at, (LatLonE7{kDegree / 2, kDegree / 2}));
}

TEST_F(AnswerByHand, WeightsAreStepsOfASpacing) {
    // A quarter north, a quarter east: weights 9, 3, 3, 1 of 16; (9·1 + 3·2 + 3·3 + 4)/16 = 1.75.
    EXPECT_EQ(answer({kDegree / 4, kDegree / 4}).of(LayerId::eto)[0], 17'500);
    // One 32768th east of the first: (32767·100 + 200)·100/32768 = 10000.305…
    EXPECT_EQ(answer({0, 306}).of(LayerId::eto)[0], 10'000);
    // 1e-7 degree less and the fraction is 0: 305·32768/1e7 = 0.9994.
    EXPECT_EQ(answer({0, 305}).method[0], 1024);
    EXPECT_EQ(answer({0, 306}).method[0], 1025);
    // Near a half of an answer's unit: 164/32768 of 100 is 0.50049, 163/32768 is 0.49744.
    set({0, 0}, LayerId::rain, 0);
    set({0, 1}, LayerId::rain, 1);
    set({0, 0}, LayerId::tmin, 0);
    set({0, 1}, LayerId::tmin, -1);
    EXPECT_EQ(answer({0, 50'050}).of(LayerId::rain)[0], 1);
    EXPECT_EQ(answer({0, 50'050}).of(LayerId::tmin)[0], -1);
    EXPECT_EQ(answer({0, 50'000}).of(LayerId::rain)[0], 0);
    EXPECT_EQ(answer({0, 50'000}).of(LayerId::tmin)[0], 0);
}

TEST_F(AnswerByHand, HalvesGoAwayFromZero) {
    // An eighth east and a quarter north: weights 21, 3, 7, 1 of 32. The mean
    // 100·(21·0 + 3·0 + 7·0 + 1·v)/32 = 3.125·v is a half for v = 4, 12, 20: 12.5, 37.5, 62.5.
    for (const auto& [value, expected] : {std::pair{4, 13}, {12, 38}, {20, 63}}) {
        for (int i = 0; i < 3; ++i) {
            set({i / 2, i % 2}, LayerId::rain, 0);
            set({i / 2, i % 2}, LayerId::tmin, 0);
        }
        set({1, 1}, LayerId::rain, value);
        set({1, 1}, LayerId::tmin, -value);
        const Answer at = answer({kDegree / 4, kDegree / 8});
        EXPECT_EQ(at.of(LayerId::rain)[0], expected);
        EXPECT_EQ(at.of(LayerId::tmin)[0], -expected);
    }
}

TEST_F(AnswerByHand, MissingCornersAreLeftOutAndTheRestIsMadeWhole) {
    tile().present[slot({0, 0})] = 0;
    const Answer at = answer({kDegree / 4, kDegree / 4});
    // Weights 3, 3, 1 of 7: (3·2 + 3·3 + 4)/7 = 19/7 = 2.714285…
    EXPECT_EQ(at.of(LayerId::eto)[0], 27'143);
    EXPECT_EQ(at.period, 1);
    EXPECT_TRUE(at.interpolated);
    // A value that is missing at a point that is there counts for that layer and month only.
    tile().of(LayerId::rain)[slot({0, 1}) * kMonths + 5] = kMissingValue;
    const Answer with_gap = answer({kDegree / 4, kDegree / 4});
    EXPECT_EQ(with_gap.of(LayerId::rain)[4], 2'714);
    EXPECT_EQ(with_gap.of(LayerId::rain)[5], 3'250);  // (3·30 + 40)/4
    EXPECT_EQ(with_gap.of(LayerId::eto)[5], 27'143);
}

TEST_F(AnswerByHand, IgnoresACornerWithoutWeight) {
    tile().present[slot({0, 0})] = 0;
    EXPECT_EQ(answer({kDegree, 0}).of(LayerId::eto)[0], 30'000);
    // On the missing point itself no corner is left: the nearest one answers.
    const Answer on_it = answer({0, 0});
    EXPECT_TRUE(on_it.found);
    EXPECT_FALSE(on_it.interpolated);
    EXPECT_EQ(on_it.at, (LatLonE7{0, kDegree}));
    EXPECT_EQ(on_it.distance_m, 111'193);  // 2·6371009·sin(0.5°) = 111,193.7
    EXPECT_EQ(on_it.of(LayerId::eto)[0], 20'000);
    EXPECT_EQ(on_it.method[0], 1025);
    EXPECT_EQ(on_it.period, 1);
}

TEST_F(AnswerByHand, ReportsTheReachOfAMiss) {
    const Answer far = answer({-3 * kDegree, 0});
    EXPECT_FALSE(far.found);
    EXPECT_EQ(far.reach_m, 200'000);
    EXPECT_TRUE(answer({-kDegree * 3 / 2, 0}).found);
}

TEST_F(AnswerByHand, ElevationMovesEtoByItsGradient) {
    gradient(LayerId::eto_gradient, -1'500);  // -1.5 mm/day per km
    gradient(LayerId::rain_gradient, 250);    // a quarter more per km
    gradient(LayerId::tmin_gradient, -650);   // -6.5 °C per km
    const LatLonE7 middle{kDegree / 2, kDegree / 2};
    const Answer up = answer(middle, 650);  // 150 m there: 500 m up
    EXPECT_EQ(up.shifted_by_cm, 50'000);
    EXPECT_EQ(up.of(LayerId::eto)[0], 25'000 - 7'500);
    EXPECT_EQ(up.of(LayerId::rain)[0], 2'833);  // 2500 · exp(0.125) = 2832.9
    EXPECT_EQ(up.of(LayerId::tmin)[0], -2'500 - 3'250);
    EXPECT_EQ(up.of(LayerId::elevation)[0], 15'000);  // the points' own stays
    const Answer down = answer(middle, -350);         // 500 m down, below the sea
    EXPECT_EQ(down.shifted_by_cm, -50'000);
    EXPECT_EQ(down.of(LayerId::eto)[0], 25'000 + 7'500);
    EXPECT_EQ(down.of(LayerId::rain)[0], 2'206);  // 2500 · exp(-0.125) = 2206.2
    EXPECT_EQ(down.of(LayerId::tmin)[0], -2'500 + 3'250);
    EXPECT_EQ(answer(middle).shifted_by_cm, 0);
    EXPECT_EQ(answer(middle, 150).of(LayerId::eto)[0], 25'000);
}

// Gradients as steep as a file can hold them: no more than a quarter to four times the rain, half
// or double the ETo, and 1,500 m.
TEST_F(AnswerByHand, LimitsTheAdjustment) {
    for (const int sign : {-1, 1}) {
        gradient(LayerId::eto_gradient, sign * 32'767);
        gradient(LayerId::rain_gradient, sign * 32'767);
        gradient(LayerId::tmin_gradient, -650);
        const Answer up = answer({kDegree / 2, kDegree / 2}, 9'000);
        EXPECT_TRUE(up.exceeds_max_adjustment);
        EXPECT_EQ(up.shifted_by_cm, 150'000);
        EXPECT_EQ(up.of(LayerId::eto)[0], sign < 0 ? 12'500 : 50'000);
        EXPECT_EQ(up.of(LayerId::rain)[0], sign < 0 ? 625 : 10'000);
        EXPECT_EQ(up.of(LayerId::tmin)[0], -2'500 - 9'750);
        const Answer down = answer({kDegree / 2, kDegree / 2}, -1'000);  // 1150 m down
        EXPECT_FALSE(down.exceeds_max_adjustment);
        EXPECT_EQ(down.of(LayerId::rain)[0], sign < 0 ? 10'000 : 625);
    }
}

// Files of formats 1.0 and 1.1 give the answers that they gave when they were written.
TEST_F(AnswerByHand, AdjustsAnOlderFileLinearly) {
    world_.layout.elevation_adjustment = ElevationAdjustment::along_straight_lines;
    gradient(LayerId::eto_gradient, -1'500);
    gradient(LayerId::rain_gradient, 250);
    gradient(LayerId::tmin_gradient, -650);
    const LatLonE7 middle{kDegree / 2, kDegree / 2};
    const Answer up = answer(middle, 650);
    EXPECT_EQ(up.of(LayerId::eto)[0], 25'000 - 7'500);
    EXPECT_EQ(up.of(LayerId::rain)[0], 2'813);  // 2500 · 1.125 = 2812.5, away from zero
    EXPECT_EQ(up.of(LayerId::tmin)[0], -2'500 - 3'250);
    const Answer down = answer(middle, -350);
    EXPECT_EQ(down.of(LayerId::rain)[0], 2'187);  // 2500 less 312.5, itself away from zero: 313
    gradient(LayerId::rain_gradient, -250);
    const Answer far_up = answer(middle, 9'000);
    EXPECT_EQ(far_up.shifted_by_cm, 885'000);
    EXPECT_TRUE(far_up.exceeds_max_adjustment);
    EXPECT_EQ(far_up.of(LayerId::eto)[0], 0);
    EXPECT_EQ(far_up.of(LayerId::rain)[0], 0);
    EXPECT_EQ(far_up.of(LayerId::tmin)[0], -2'500 - 57'525);
}

TEST_F(AnswerByHand, WithoutAGradientOrAnElevationNothingMoves) {
    EXPECT_EQ(answer({0, 0}, 500).of(LayerId::eto)[0], 10'000);
    EXPECT_EQ(answer({0, 0}, 500).shifted_by_cm, 50'000);
    gradient(LayerId::eto_gradient, -1'500);
    for (std::int32_t& value : tile().of(LayerId::elevation)) value = kMissingValue;
    EXPECT_EQ(answer({0, 0}, 500).of(LayerId::eto)[0], 10'000);
    EXPECT_EQ(answer({0, 0}, 500).shifted_by_cm, 0);
}

TEST_F(AnswerByHand, RejectsAnImpossibleElevation) {
    WorldTiles tiles(world_);
    for (const std::int32_t elevation_m : {-1'001, 10'001, INT32_MIN, INT32_MAX}) {
        const auto result = answer_at({0, 0}, elevation_m, world_.lattices, world_.layout, tiles);
        ASSERT_FALSE(result.has_value());
        EXPECT_EQ(result.error().code, ErrorCode::usage);
    }
}

TEST_F(AnswerByHand, TheHighestRankWithDataAnswers) {
    // A finer lattice over the south-west corner, one point only, of a higher rank.
    Lattice fine = test::lattice_of(0, 0, 900, 1, 1, 4);
    fine.id = 2;
    fine.rank = 5;
    fine.reach_m = 50'000;
    world_.lattices.push_back(fine);
    Tile& above = world_.made_tile(fine, {0, 0});
    const auto at = static_cast<std::size_t>(slot_in_tile(fine, {0, 0}));
    above.present[at] = 1;
    for (std::size_t month = 0; month < kMonths; ++month)
        above.of(LayerId::eto)[at * kMonths + month] = 777;
    EXPECT_EQ(answer({0, 0}).of(LayerId::eto)[0], 77'700);
    EXPECT_EQ(answer({0, 0}).lattice_id, 2);
    EXPECT_EQ(answer({kDegree / 4 - 100, 0}).lattice_id, 2);  // its cell reaches one spacing out
    EXPECT_EQ(answer({kDegree / 2, kDegree / 2}).lattice_id, 1);
    EXPECT_EQ(answer({kDegree / 2, kDegree / 2}).of(LayerId::eto)[0], 25'000);
    // Where neither's cell holds data the higher rank's nearest point comes first, if within reach.
    EXPECT_EQ(answer({-3 * kDegree / 10, -3 * kDegree / 10}).lattice_id, 1);  // the coarse cell
    world_.lattices[1].reach_m = 1'000'000;
    EXPECT_EQ(answer({-11 * kDegree / 10, -11 * kDegree / 10}).lattice_id, 2);
    world_.lattices[1].reach_m = 50'000;
    EXPECT_EQ(answer({-11 * kDegree / 10, -11 * kDegree / 10}).lattice_id, 1);
    EXPECT_EQ(answer({-5 * kDegree, 0}).reach_m, 200'000);  // the greater of the two
    // Equal ranks: the lower id.
    world_.lattices[0].rank = 5;
    EXPECT_EQ(answer({0, 0}).lattice_id, 1);
    std::swap(world_.lattices[0], world_.lattices[1]);
    EXPECT_EQ(answer({0, 0}).lattice_id, 1);
}

TEST(Answer, PassesOnErrorsOfTiles) {
    class Broken final : public TileSource {
      public:
        Result<std::shared_ptr<const Tile>> tile(const Lattice&, TileAddress) override {
            return fail(ErrorCode::bad_database, "broken");
        }
    } tiles;
    const Lattice lattice = test::lattice_of(0, 0, 3'600, 2, 2, 4);
    const auto result = answer_at({0, 0}, std::nullopt, {lattice}, test::layout_of(4), tiles);
    ASSERT_FALSE(result.has_value());
    EXPECT_EQ(result.error().message, "broken");
}

}  // namespace
}  // namespace thirstline
