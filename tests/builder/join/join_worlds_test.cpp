// Random worlds split at random — tile by tile, point by point, lattice by lattice — and joined
// again.
#include <gtest/gtest.h>

#include <algorithm>

#include "builder/join/join.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/random_worlds.hpp"

namespace thirstline {
namespace {

using test::Random;
using test::Sort;

class JoinWorlds : public testing::TestWithParam<Sort> {
  protected:
    std::string write(const test::World& world, const std::string& name) const {
        const auto written = test::write_world(world, folder_.path(name));
        if (!written) throw std::runtime_error(written.error().message);
        return folder_.path(name);
    }
    Result<void> join(const std::vector<std::string>& paths, const std::string& name) const {
        static const std::atomic<bool> never{false};
        return run_join(paths, folder_.path(name), {.overwrite = true, .blend_km = 0}, never);
    }

    test::TemporaryFolder folder_;
};

/// Nothing of the world but its lattices.
test::World emptied(const test::World& world) {
    return {world.layout, world.lattices, {}};
}

TEST_P(JoinWorlds, OfRandomTilesAndPointsAreTheWhole) {
    Random random(1'066 + static_cast<std::uint32_t>(GetParam()));
    for (int run = 0; run < 25; ++run) {
        SCOPED_TRACE(run);
        const test::World world = test::random_world(GetParam(), random);
        // The whole, joined with nothing, is what the parts must become.
        ASSERT_TRUE(join({write(world, "world.sqlite")}, "whole.sqlite"));
        std::vector<test::World> parts(static_cast<std::size_t>(random.between(1, 4)),
                                       emptied(world));
        const auto some_part = [&]() -> test::World& {
            return parts[static_cast<std::size_t>(
                random.between(0, static_cast<std::int64_t>(parts.size()) - 1))];
        };
        for (const auto& [key, tile] : world.tiles) {
            if (random.chance(50)) {  // a tile whole, in one part or in two
                some_part().tiles[key] = tile;
                some_part().tiles[key] = tile;
                continue;
            }
            for (int slot = 0; slot < world.layout.slots(); ++slot) {
                const auto at = static_cast<std::size_t>(slot);
                if (tile->present[at] == 0) continue;
                auto& kept = some_part().tiles[key];
                Tile copy = kept ? *kept : Tile::empty(world.layout);
                if (copy.present[at] != 0) continue;
                copy.present[at] = 1;
                for (const Layer& layer : world.layout.layers) {
                    if (layer.shape == LayerShape::tile_month) {
                        copy.of(layer.id) = tile->of(layer.id);
                        continue;
                    }
                    const std::size_t count = layer.shape == LayerShape::point ? 1 : kMonths;
                    std::copy_n(
                        tile->of(layer.id).begin() + static_cast<std::ptrdiff_t>(at * count), count,
                        copy.of(layer.id).begin() + static_cast<std::ptrdiff_t>(at * count));
                }
                kept = std::make_shared<const Tile>(std::move(copy));
            }
        }
        std::vector<std::string> paths;
        for (std::size_t p = 0; p < parts.size(); ++p)
            paths.push_back(write(parts[p], std::to_string(p) + ".sqlite"));
        const auto joined = join(paths, "joined.sqlite");
        ASSERT_TRUE(joined) << joined.error().message;
        ASSERT_EQ(test::bytes_of_file(folder_.path("joined.sqlite")),
                  test::bytes_of_file(folder_.path("whole.sqlite")));
    }
}

TEST_P(JoinWorlds, RejectsFormatsWithDifferentElevationAdjustments) {
    Random random(12);
    test::World world = test::random_world(GetParam(), random);
    world.layout.elevation_adjustment = ElevationAdjustment::along_straight_lines;
    const std::string older = write(world, "older.sqlite");
    ASSERT_TRUE(join({older}, "again.sqlite"));
    EXPECT_EQ(test::opened(folder_.path("again.sqlite"))->layout().elevation_adjustment,
              ElevationAdjustment::along_straight_lines);
    world.layout.elevation_adjustment = ElevationAdjustment::bounded;
    const auto joined = join({older, write(world, "newer.sqlite")}, "joined.sqlite");
    ASSERT_FALSE(joined);
    EXPECT_NE(joined.error().message.find("adjusted"), std::string::npos) << joined.error().message;
}

TEST_P(JoinWorlds, OfAFinerLatticeOverACoarserAnswerAsBothInOneFile) {
    Random random(8 + static_cast<std::uint32_t>(GetParam()));
    int overlays = 0;
    for (int run = 0; run < 40; ++run) {
        const test::World world = test::random_world(GetParam(), random);
        if (world.lattices.size() < 2 ||
            world.lattices[0].spacing_arcsec == world.lattices[1].spacing_arcsec)
            continue;
        ++overlays;
        // Each by itself, both of id 1 and rank 0.
        std::vector<std::string> paths;
        for (const Lattice& lattice : world.lattices) {
            test::World alone = emptied(world);
            alone.lattices = {lattice};
            alone.lattices.front().id = 1;
            alone.lattices.front().rank = 0;
            for (const auto& [key, tile] : world.tiles) {
                if (lattice_id_of_key(key) == lattice.id)
                    alone.tiles[tile_key(1, tile_of_key(key))] = tile;
            }
            paths.push_back(write(alone, std::to_string(lattice.id) + ".sqlite"));
        }
        ASSERT_TRUE(join(paths, "joined.sqlite"));
        const std::string bytes = test::bytes_of_file(folder_.path("joined.sqlite"));
        std::ranges::reverse(paths);
        ASSERT_TRUE(join(paths, "joined.sqlite"));
        ASSERT_EQ(test::bytes_of_file(folder_.path("joined.sqlite")), bytes);
        test::expect_whole(folder_.path("joined.sqlite"));

        const auto both = test::opened(write(world, "world.sqlite"));
        const auto joined = test::opened(folder_.path("joined.sqlite"));
        for (const Lattice& lattice : world.lattices) {
            for (const LatLonE7 site : test::positions_about(lattice, random, 100))
                ASSERT_EQ(test::answer_text(*joined, site), test::answer_text(*both, site));
        }
    }
    EXPECT_GT(overlays, 8);
}

TEST_P(JoinWorlds, ThatContradictEachOtherAreRefusedByName) {
    Random random(99 + static_cast<std::uint32_t>(GetParam()));
    test::World world = test::random_world(GetParam(), random);
    while (world.tiles.empty()) world = test::random_world(GetParam(), random);
    const std::string one = write(world, "one.sqlite");
    test::World other = world;
    for (auto& [key, tile] : other.tiles) {
        Tile changed = *tile;
        changed.of(LayerId::eto_gradient)[0] = 32'000;
        tile = std::make_shared<const Tile>(std::move(changed));
    }
    const std::string two = write(other, "two.sqlite");
    test::write_bytes(folder_.path("joined.sqlite"), "existing content");
    const auto before = folder_.names();
    const auto joined = join({one, two}, "joined.sqlite");
    ASSERT_FALSE(joined);
    EXPECT_EQ(joined.error().code, ErrorCode::bad_input);
    const std::string& message = joined.error().message;
    EXPECT_NE(message.find("tile " + std::to_string(world.tiles.begin()->first)), std::string::npos)
        << message;
    EXPECT_NE(message.find(one), std::string::npos) << message;
    EXPECT_NE(message.find(two), std::string::npos) << message;
    if (world.tiles.size() > 5) {
        EXPECT_NE(message.find("and " + std::to_string(world.tiles.size() - 5) + " more"),
                  std::string::npos)
            << message;
    }
    EXPECT_EQ(folder_.names(), before);
    EXPECT_EQ(test::bytes_of_file(folder_.path("joined.sqlite")), "existing content");
}

INSTANTIATE_TEST_SUITE_P(Sorts, JoinWorlds,
                         testing::Values(Sort::box, Sort::crossing, Sort::closing, Sort::whole));

}  // namespace
}  // namespace thirstline
