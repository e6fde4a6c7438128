// A reader in another language, written from schema/FORMAT.md only, gives the same integers.
#include <gtest/gtest.h>

#include <optional>
#include <string>
#include <string_view>

#include "schema/database/database.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::Random;
using test::Sort;

std::string line_of(const Answer& answer, const TileLayout& layout) {
    if (!answer.found) return "0\n";
    std::string line = std::to_string(answer.lattice_id) + " " + std::to_string(answer.distance_m) +
                       " " + std::to_string(answer.period);
    for (const std::uint16_t code : answer.method) line += " " + std::to_string(code);
    for (const Layer& layer : layout.layers) {
        if (layer.id == LayerId::method || layer.id == LayerId::period) continue;
        const std::size_t months = layer.shape == LayerShape::point ? 1 : kMonths;
        for (std::size_t month = 0; month < months; ++month) {
            const std::int32_t value = answer.of(layer.id)[month];
            line += value == kMissingValue ? " x" : " " + std::to_string(value);
        }
    }
    return line + "\n";
}

class OtherReader : public testing::TestWithParam<Sort> {};

TEST_P(OtherReader, GivesTheSameIntegers) {
    if (std::string_view(THIRSTLINE_TEST_PYTHON).empty()) GTEST_SKIP() << "no Python";
    const std::uint32_t seed = 150 + static_cast<std::uint32_t>(GetParam());
    SCOPED_TRACE(seed);
    Random random(seed);
    test::World world;
    world.layout = test::layout_of(static_cast<int>(random.between(2, 9)));
    if (GetParam() == Sort::box || GetParam() == Sort::whole)
        world.layout.elevation_adjustment = ElevationAdjustment::along_straight_lines;
    for (const int id : {3, 1, 2}) {
        const auto sort = id == 1 ? GetParam() : static_cast<Sort>(random.between(0, 3));
        world.lattices.push_back(test::random_lattice(sort, id, world.layout.edge, random));
        test::fill_lattice(world, world.lattices.back(), random, 30);
    }
    const test::TemporaryFolder folder;
    const std::string path = folder.path("a.sqlite");
    ASSERT_TRUE(test::write_world(world, path).has_value());
    const auto database = Database::open(path);
    ASSERT_TRUE(database.has_value());

    std::string asked, expected;
    for (const Lattice& lattice : (*database)->lattices()) {
        for (const LatLonE7 position : test::positions_about(lattice, random, 120)) {
            std::optional<std::int32_t> elevation_m;
            if (random.chance(50))
                elevation_m = static_cast<std::int32_t>(random.between(-1'000, 10'000));
            asked += std::to_string(position.lat_e7) + " " + std::to_string(position.lon_e7) + " " +
                     (elevation_m ? std::to_string(*elevation_m) : "-") + "\n";
            const auto answer = (*database)->answer(position, elevation_m);
            ASSERT_TRUE(answer.has_value()) << answer.error().message;
            expected += line_of(*answer, (*database)->layout());
        }
    }
    test::write_bytes(folder.path("asked"), asked);
    const auto said = test::output_of(
        THIRSTLINE_TEST_PYTHON " " THIRSTLINE_TEST_FOLDER "/schema/database/read_from_format.py " +
        path + " < " + folder.path("asked"));
    ASSERT_TRUE(said.has_value());
    EXPECT_EQ(*said, expected);
}

INSTANTIATE_TEST_SUITE_P(Sorts, OtherReader,
                         testing::Values(Sort::box, Sort::crossing, Sort::closing, Sort::whole));

}  // namespace
}  // namespace thirstline
