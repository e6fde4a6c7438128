// Answers over random worlds against plain bilinear interpolation in floating point.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "schema/answer/answer.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::Random;
using test::Sort;
using test::World;
using test::WorldTiles;

struct Corner {
    LatticePoint point;
    long double weight;
};

/// The four corners round a position with their weights, by searching rows and columns: no cell_of.
/// `steps` > 0 rounds the fractions down to that many steps of a spacing, 0 leaves them exact.
std::vector<Corner> corners_about(const Lattice& lattice, LatLonE7 position, int steps) {
    const long double spacing = lattice.spacing_arcsec;
    const auto share = [steps](long double part) -> long double {
        return steps == 0 ? part : std::floor(part * steps + 1e-7L) / steps;
    };
    std::vector<Corner> corners;
    const long double row = (position.lat_e7 / 1e7L * 3600 - lattice.south_arcsec) / spacing;
    for (std::int32_t r = 0; r < lattice.rows; ++r) {
        const long double north =
            row - r;  // how far the position lies north of the row, in spacings
        if (north <= -1 + 1e-12L || north >= 1 - 1e-12L) continue;
        const long double lat_weight = north >= -1e-12L ? 1 - share(north) : share(1 + north);
        for (std::int32_t c = 0; c < lattice.columns; ++c) {
            long double arcsec = position.lon_e7 / 1e7L * 3600 -
                                 (lattice.west_arcsec + static_cast<long double>(c) * spacing);
            arcsec -= 1'296'000 * std::round(arcsec / 1'296'000);
            if (std::abs(position.lat_e7) == 900'000'000) arcsec = c == 0 ? 0 : spacing;
            const long double east = arcsec / spacing;
            if (east <= -1 + 1e-12L || east >= 1 - 1e-12L) continue;
            const long double lon_weight = east >= -1e-12L ? 1 - share(east) : share(1 + east);
            if (lat_weight * lon_weight > 1e-13L)
                corners.push_back({{r, c}, lat_weight * lon_weight});
        }
    }
    return corners;
}

/// The weighted mean over the corners that hold the value, in answer units; NaN if none does.
long double mean_of(const World& world, const Lattice& lattice, const std::vector<Corner>& corners,
                    const Layer& layer, int month) {
    long double sum = 0, weight = 0;
    for (const Corner& corner : corners) {
        if (!world.has_data(lattice, corner.point)) continue;
        const Tile& tile = *world.tile_at(lattice, corner.point);
        const int slot = slot_in_tile(lattice, corner.point);
        const int index = layer.shape == LayerShape::point_month ? slot * kMonths + month
                          : layer.shape == LayerShape::point     ? slot
                                                                 : month;
        const std::int32_t value = tile.of(layer.id)[static_cast<std::size_t>(index)];
        if (value == kMissingValue) continue;
        sum += corner.weight * value;
        weight += corner.weight;
    }
    return weight == 0 ? std::nanl("") : 100 * sum / weight;
}

bool any_data(const World& world, const Lattice& lattice, const std::vector<Corner>& corners) {
    return std::any_of(corners.begin(), corners.end(),
                       [&](const Corner& corner) { return world.has_data(lattice, corner.point); });
}

bool all_data(const World& world, const Lattice& lattice, const std::vector<Corner>& corners) {
    return !corners.empty() && std::all_of(corners.begin(), corners.end(), [&](const Corner& c) {
        return world.has_data(lattice, c.point);
    });
}

Answer answered(const World& world, LatLonE7 position,
                std::optional<std::int32_t> elevation_m = std::nullopt) {
    WorldTiles tiles(world);
    auto answer = answer_at(position, elevation_m, world.lattices, world.layout, tiles);
    EXPECT_TRUE(answer.has_value());
    return answer ? *answer : Answer{};
}

World random_world(Sort sort, Random& random) {
    World world;
    world.layout = test::layout_of(static_cast<int>(random.between(2, 9)));
    const Lattice lattice = test::random_lattice(sort, 1, world.layout.edge, random);
    world.lattices = {lattice};
    test::fill_lattice(world, lattice, random,
                       random.chance(30) ? 100 : static_cast<int>(random.between(0, 100)));
    return world;
}

class AnswerProperty : public testing::TestWithParam<Sort> {};

TEST_P(AnswerProperty, AreBilinearWithMissingCornersLeftOut) {
    const std::uint32_t seed = 70 + static_cast<std::uint32_t>(GetParam());
    SCOPED_TRACE(seed);
    Random random(seed);
    int interpolated = 0, whole_cells = 0;
    for (int round = 0; round < 60; ++round) {
        const World world = random_world(GetParam(), random);
        const Lattice& lattice = world.lattices.front();
        for (const LatLonE7 position : test::positions_about(lattice, random, 30)) {
            const auto corners = corners_about(lattice, position, kFractionOne);
            const Answer answer = answered(world, position);
            ASSERT_EQ(answer.found && answer.interpolated, any_data(world, lattice, corners))
                << position.lat_e7 << "," << position.lon_e7;
            if (!answer.interpolated) continue;
            ++interpolated;
            const auto exact = corners_about(lattice, position, 0);
            const bool whole = all_data(world, lattice, exact) && exact.size() == 4;
            whole_cells += whole ? 1 : 0;
            for (const Layer& layer : world.layout.layers) {
                if (layer.id == LayerId::method || layer.id == LayerId::period) continue;
                const int month =
                    static_cast<int>(layer.shape == LayerShape::point ? 0 : random.between(0, 11));
                const std::int32_t got = answer.of(layer.id)[static_cast<std::size_t>(month)];
                const long double expected = mean_of(world, lattice, corners, layer, month);
                if (std::isnan(expected)) {
                    ASSERT_EQ(got, kMissingValue);
                    continue;
                }
                // The same weights: nothing but the last rounding lies between.
                ASSERT_NEAR(got, static_cast<double>(expected), 0.5 + 1e-6);
                // Exact weights, a whole cell of unbroken values: two fractions, each at most
                // 1/32768 too small, over a span of at most 65535.
                const long double finer = mean_of(world, lattice, exact, layer, month);
                if (whole && layer.id == LayerId::eto) {
                    ASSERT_NEAR(got, static_cast<double>(finer), 0.5 + 2 * 100 * 65'535.0 / 32'768);
                }
            }
        }
    }
    EXPECT_GT(interpolated, 100);
    EXPECT_GT(whole_cells, 20);
}

TEST_P(AnswerProperty, TakeMethodAndPeriodFromTheCorners) {
    const std::uint32_t seed = 80 + static_cast<std::uint32_t>(GetParam());
    SCOPED_TRACE(seed);
    Random random(seed);
    for (int round = 0; round < 40; ++round) {
        const World world = random_world(GetParam(), random);
        const Lattice& lattice = world.lattices.front();
        for (const LatLonE7 position : test::positions_about(lattice, random, 20)) {
            const Answer answer = answered(world, position);
            if (!answer.interpolated) continue;
            std::int32_t least = 0;
            long double heaviest = 0;
            std::vector<int> periods;  // of the heaviest corners: floating point cannot part equals
            for (const Corner& corner : corners_about(lattice, position, kFractionOne)) {
                if (!world.has_data(lattice, corner.point)) continue;
                const Tile& tile = *world.tile_at(lattice, corner.point);
                const int slot = slot_in_tile(lattice, corner.point);
                least = std::max(least, tile.month_value(LayerId::method, slot, 4));
                if (corner.weight < heaviest - 1e-12L) continue;
                if (corner.weight > heaviest + 1e-12L) periods.clear();
                heaviest = corner.weight;
                periods.push_back(
                    std::max(0, tile.of(LayerId::period)[static_cast<std::size_t>(slot)]));
            }
            EXPECT_EQ(answer.method[4], least);
            EXPECT_NE(std::find(periods.begin(), periods.end(), answer.period), periods.end());
        }
    }
}

TEST_P(AnswerProperty, MoveWithElevation) {
    const std::uint32_t seed = 90 + static_cast<std::uint32_t>(GetParam());
    SCOPED_TRACE(seed);
    Random random(seed);
    int moved = 0;
    for (int round = 0; round < 40; ++round) {
        const World world = random_world(GetParam(), random);
        for (const LatLonE7 position : test::positions_about(world.lattices.front(), random, 20)) {
            const auto elevation_m = static_cast<std::int32_t>(random.between(-1'000, 10'000));
            const Answer before = answered(world, position);
            const Answer after = answered(world, position, elevation_m);
            ASSERT_EQ(before.found, after.found);
            const std::int32_t own = before.of(LayerId::elevation)[0];
            if (!before.found || own == kMissingValue) {
                EXPECT_EQ(after.of(LayerId::eto), before.of(LayerId::eto));
                continue;
            }
            const long double rise_km =
                std::clamp(elevation_m / 1000.0L - own / 100.0L / 1000.0L, -1.5L, 1.5L);
            for (std::size_t month = 0; month < kMonths; ++month) {
                const auto difference = [&](LayerId gradient, double divisor) -> long double {
                    const std::int32_t g = before.of(gradient)[month];
                    return g == kMissingValue ? 0 : g / 100.0L / divisor * rise_km;
                };
                const long double own_eto = before.of(LayerId::eto)[month];
                const long double eto = std::clamp(
                    own_eto + 10'000 * difference(LayerId::eto_gradient, 1'000),
                    std::min(own_eto / 2, own_eto * 2), std::max(own_eto / 2, own_eto * 2));
                EXPECT_NEAR(after.of(LayerId::eto)[month],
                            static_cast<double>(std::max<long double>(eto, 0)), 0.501);
                const std::int32_t rain = before.of(LayerId::rain)[month];
                if (rain != kMissingValue) {
                    const long double shifted =
                        rain * std::exp(std::clamp(difference(LayerId::rain_gradient, 1'000),
                                                   -std::log(4.0L), std::log(4.0L)));
                    // The series ends with its third term; the share is rounded to 1e-5.
                    EXPECT_NEAR(
                        after.of(LayerId::rain)[month],
                        static_cast<double>(std::clamp<long double>(shifted, 0, 2'147'483'647)),
                        0.501 + static_cast<double>(shifted) * 6e-5);
                    ++moved;
                }
                const std::int32_t rain_se = before.of(LayerId::rain_se)[month];
                if (rain != kMissingValue && rain_se != kMissingValue &&
                    before.of(LayerId::rain_gradient)[month] != kMissingValue) {
                    const double growth = static_cast<double>(
                        std::exp(std::clamp(difference(LayerId::rain_gradient, 1'000),
                                            -std::log(4.0L), std::log(4.0L))));
                    const double units =
                        world.layout.find(LayerId::rain_se)->divisor /
                        static_cast<double>(world.layout.find(LayerId::rain)->divisor);
                    const double more = (rise_km > 0 ? 0.30 : 0.15) * units *
                                        after.of(LayerId::rain)[month] *
                                        static_cast<double>(std::abs(rise_km));
                    const double expected = std::hypot(rain_se * growth, more);
                    EXPECT_NEAR(after.of(LayerId::rain_se)[month], expected, 1.8 + expected * 1e-4);
                }
                const std::int32_t tmax = before.of(LayerId::tmax)[month];
                if (tmax != kMissingValue) {
                    EXPECT_NEAR(
                        after.of(LayerId::tmax)[month],
                        static_cast<double>(tmax + 1'000 * difference(LayerId::tmax_gradient, 100)),
                        0.501);
                }
                const std::int32_t se = before.of(LayerId::eto_se)[month];
                if (se != kMissingValue &&
                    before.of(LayerId::eto_gradient)[month] != kMissingValue &&
                    before.of(LayerId::eto)[month] != kMissingValue) {
                    const double more = 0.10 * after.of(LayerId::eto)[month] *
                                        static_cast<double>(std::abs(rise_km));
                    EXPECT_NEAR(after.of(LayerId::eto_se)[month], std::hypot(se, more), 1.8);
                }
            }
        }
    }
    EXPECT_GT(moved, 1'000);
}

INSTANTIATE_TEST_SUITE_P(Sorts, AnswerProperty,
                         testing::Values(Sort::box, Sort::crossing, Sort::closing, Sort::whole));

TEST(Answers, FollowTheRanksOfSeveralLattices) {
    constexpr std::uint32_t kSeed = 100;
    SCOPED_TRACE(kSeed);
    Random random(kSeed);
    int from_nearest = 0, missed = 0;
    for (int round = 0; round < 60; ++round) {
        World world;
        world.layout = test::layout_of(4, {LayerId::eto});
        for (int id = 1; id <= 3; ++id) {
            const auto sort = static_cast<Sort>(random.between(0, 3));
            world.lattices.push_back(test::random_lattice(sort, id, 4, random));
            test::fill_lattice(world, world.lattices.back(), random,
                               static_cast<int>(random.between(0, 30)));
        }
        std::vector<const Lattice*> ranked;
        for (const Lattice& lattice : world.lattices) ranked.push_back(&lattice);
        std::stable_sort(ranked.begin(), ranked.end(),
                         [](const Lattice* a, const Lattice* b) { return a->rank > b->rank; });
        for (const LatLonE7 position : test::positions_about(
                 *ranked[static_cast<std::size_t>(random.between(0, 2))], random, 20)) {
            const Answer answer = answered(world, position);
            int expected = 0;
            for (const Lattice* lattice : ranked) {
                if (expected == 0 &&
                    any_data(world, *lattice, corners_about(*lattice, position, kFractionOne)))
                    expected = lattice->id;
            }
            if (expected != 0) {
                EXPECT_TRUE(answer.interpolated);
                EXPECT_EQ(answer.lattice_id, expected);
                continue;
            }
            EXPECT_FALSE(answer.interpolated);
            for (const Lattice* lattice : ranked) {
                if (expected != 0) break;
                World alone = world;
                alone.lattices = {*lattice};
                if (answered(alone, position).found) expected = lattice->id;
            }
            EXPECT_EQ(answer.lattice_id, expected);
            from_nearest += expected != 0 ? 1 : 0;
            missed += expected == 0 ? 1 : 0;
        }
    }
    EXPECT_GT(from_nearest, 50);
    EXPECT_GT(missed, 10);
}

TEST(Answers, APoleHasOneWhateverTheLongitude) {
    constexpr std::uint32_t kSeed = 101;
    SCOPED_TRACE(kSeed);
    Random random(kSeed);
    for (int round = 0; round < 40; ++round) {
        World world = random_world(round % 2 ? Sort::whole : Sort::box, random);
        Lattice& lattice = world.lattices.front();
        lattice.reach_m = 20'000'000;
        for (const std::int32_t lat_e7 : {900'000'000, -900'000'000}) {
            const Answer first = answered(world, {lat_e7, 0}, 1'000);
            for (int i = 0; i < 20; ++i) {
                const auto lon_e7 =
                    static_cast<std::int32_t>(random.between(-1'800'000'000, 1'799'999'999));
                const Answer other = answered(world, {lat_e7, lon_e7}, 1'000);
                EXPECT_EQ(other.found, first.found);
                EXPECT_EQ(other.interpolated, first.interpolated);
                EXPECT_EQ(other.distance_m, first.distance_m);
                EXPECT_EQ(other.method, first.method);
                EXPECT_EQ(other.period, first.period);
                for (const Layer& layer : world.layout.layers)
                    EXPECT_EQ(other.of(layer.id), first.of(layer.id)) << layer.name;
            }
        }
    }
}

TEST(Answers, AreContinuousAcrossTheAntimeridian) {
    constexpr std::uint32_t kSeed = 102;
    SCOPED_TRACE(kSeed);
    Random random(kSeed);
    for (int round = 0; round < 20; ++round) {
        World world;
        world.layout = test::layout_of(8, {LayerId::eto});
        Lattice lattice = test::random_lattice(Sort::closing, 1, 8, random);
        lattice.south_arcsec = 0;
        lattice.rows = 3;
        world.lattices = {lattice};
        test::fill_lattice(world, lattice, random, 100);
        const Answer west = answered(world, {10'000'000, 1'799'999'999});
        const Answer east = answered(world, {10'000'000, -1'800'000'000});
        ASSERT_TRUE(west.interpolated && east.interpolated);
        // One step of the weight, 1/32768 of a span of 65535, is 200 of an answer's units.
        EXPECT_NEAR(west.of(LayerId::eto)[0], east.of(LayerId::eto)[0], 201);
    }
}

}  // namespace
}  // namespace thirstline
