// What `verify` and `site` must agree on.
#include "schema/database/database_report.hpp"

#include <gtest/gtest.h>

#include "schema/database/database_writer.hpp"
#include "schema/tile_code/tile_codec.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/merrow_database.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

/// One point in a lattice of one arc-second over the whole world, whose nearest point may be
/// anywhere.
std::string one_point_on_earth(const test::TemporaryFolder& folder, int edge) {
    test::World world;
    world.layout = test::layout_of(edge, {LayerId::eto});
    Lattice lattice = test::lattice_of(-648'000, -324'000, 1, 1'296'000, 648'001, edge);
    lattice.reach_m = 20'000'000;
    world.lattices = {lattice};
    const LatticePoint point{324'000 + 3'600, 648'000 + 7'200};  // 1° N, 2° E
    Tile& tile = world.made_tile(lattice, point);
    const int slot = slot_in_tile(lattice, point);
    tile.present[static_cast<std::size_t>(slot)] = 1;
    for (std::size_t month = 0; month < kMonths; ++month) {
        tile.of(LayerId::eto)[static_cast<std::size_t>(slot) * kMonths + month] = 123;
    }
    const std::string path = folder.path("world-" + std::to_string(edge) + ".sqlite");
    EXPECT_TRUE(test::write_world(world, path).has_value());
    return path;
}

TEST(DatabaseReport, FindTheOnePointOfAWideLattice) {
    const test::TemporaryFolder folder;
    for (const int edge : {8, 16}) {
        const auto database = Database::open(one_point_on_earth(folder, edge));
        ASSERT_TRUE(database.has_value()) << database.error().message;
        EXPECT_TRUE(verify_database(**database).has_value());
        // Tile by tile over the whole lattice would take hours.
        for (const LatLonE7 position : {LatLonE7{450'000'000, -1'000'000'000},
                                        {-890'000'000, 1'700'000'000},
                                        {10'000'000, 20'100'000}}) {
            const auto answer = (*database)->answer(position);
            ASSERT_TRUE(answer.has_value()) << answer.error().message;
            ASSERT_TRUE(answer->found);
            EXPECT_EQ(answer->at, (LatLonE7{10'000'000, 20'000'000}));
            EXPECT_EQ(answer->of(LayerId::eto)[0], 12'300);
        }
    }
}

TEST(DatabaseReport, EndTheSearchWhereTilesWithoutPointsGoOnForEver) {
    const test::TemporaryFolder folder;
    test::World world;
    world.layout = test::layout_of(2, {LayerId::eto});
    Lattice lattice = test::lattice_of(-648'000, 0, 100, 12'960, 64, 2);
    lattice.reach_m = 20'000'000;
    world.lattices = {lattice};
    for (int row = 0; row < lattice.rows; row += 2)
        for (int column = 0; column < lattice.columns; column += 2)
            static_cast<void>(world.made_tile(lattice, {row, column}));
    const std::string path = folder.path("empty.sqlite");
    ASSERT_TRUE(test::write_world(world, path).has_value());
    const auto database = Database::open(path);
    ASSERT_TRUE(database.has_value());
    const auto answer = (*database)->answer({0, 0});
    ASSERT_FALSE(answer.has_value());
    EXPECT_EQ(answer.error().code, ErrorCode::bad_database);
    EXPECT_NE(answer.error().message.find("nearest point"), std::string::npos);
}

TEST(DatabaseReport, MayLackMethodsAndPeriods) {
    // FORMAT.md, section 6: without a method an answer's is 0, without a period it is 0.
    const test::TemporaryFolder folder;
    test::World world;
    world.layout = test::layout_of(4, {LayerId::eto, LayerId::method, LayerId::period});
    const Lattice lattice = test::lattice_of(0, 0, 3'600, 4, 4, 4);
    world.lattices = {lattice};
    Tile& tile = world.made_tile(lattice, {0, 0});
    const auto slot = static_cast<std::size_t>(slot_in_tile(lattice, {0, 0}));
    tile.present[slot] = 1;
    for (std::size_t month = 0; month < kMonths; ++month)
        tile.of(LayerId::eto)[slot * kMonths + month] = 100;
    const std::string path = folder.path("bare.sqlite");
    ASSERT_TRUE(test::write_world(world, path).has_value());
    const auto database = Database::open(path);
    ASSERT_TRUE(database.has_value());
    const auto answer = (*database)->answer({0, 0});
    ASSERT_TRUE(answer.has_value());
    EXPECT_EQ(answer->method[0], 0);
    EXPECT_EQ(answer->period, 0);
    const auto verified = verify_database(**database);
    EXPECT_TRUE(verified.has_value()) << verified.error().message;
}

TEST(DatabaseReport, HoldNoRowThatAnAnswerWouldRefuse) {
    for (const char* change :
         {"UPDATE postal SET crc32 = 1 WHERE code = (SELECT max(code) FROM postal)",
          "UPDATE postal SET country = 'xn' WHERE code = (SELECT max(code) FROM postal)",
          "UPDATE station SET elevation_m = 20000",
          "UPDATE station SET crc32 = 1 WHERE station_id = 1",
          "UPDATE source_file SET sha256 = 'a'", "UPDATE source SET values_used = -1",
          "UPDATE method SET code = 70000", "UPDATE layer SET is_signed = 2 WHERE layer_id = 1"}) {
        const std::string path = test::merrow_database({.stations = true});
        test::run_on_file(path,
                          "INSERT OR IGNORE INTO source_file VALUES (1, 0, 'a', "
                          "'0123456789012345678901234567890123456789012345678901234567890123')");
        test::run_on_file(path, std::string("PRAGMA ignore_check_constraints=ON;") + change);
        test::seal(path);
        const auto database = Database::open(path);
        const bool is_whole = database.has_value() && verify_database(**database).has_value();
        EXPECT_FALSE(is_whole) << change;
    }
}

TEST(DatabaseReport, GiveEachOfManySourcesItsRejections) {
    const std::string path = test::merrow_database();
    test::run_on_file(
        path,
        "WITH RECURSIVE n(i) AS (SELECT 10 UNION ALL SELECT i + 1 FROM n WHERE i < 60000) "
        "INSERT INTO source SELECT i, 'a', 'rain', '', '', '', '', 0 FROM n;"
        "INSERT INTO source_rejection SELECT source_id, 'rule', 1 FROM source WHERE "
        "source_id >= 10");
    test::seal(path);
    const auto database = Database::open(path);
    ASSERT_TRUE(database.has_value()) << database.error().message;
    const auto sources = (*database)->sources();
    ASSERT_TRUE(sources.has_value());
    EXPECT_GT(sources->size(), 59'990U);
    for (const Source& source : *sources)
        EXPECT_EQ(source.rejected.size(), source.id < 10 ? 0U : 1U) << source.id;
}

}  // namespace
}  // namespace thirstline
