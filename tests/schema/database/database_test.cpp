#include "schema/database/database.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "schema/base/version.hpp"
#include "schema/database/checksum.hpp"
#include "schema/database/database_report.hpp"
#include "schema/database/database_writer.hpp"
#include "schema/tile_code/tile_codec.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::Random;
using test::Sort;
using test::TemporaryFolder;
using test::World;

World two_lattices(Random& random) {
    World world;
    world.layout = test::layout_of(4);
    for (const int id : {1, 7}) {
        Lattice lattice = test::random_lattice(id == 1 ? Sort::box : Sort::crossing, id, 4, random);
        lattice.columns = std::min(lattice.columns, 11);
        lattice.rows = std::min(lattice.rows, 9);
        world.lattices.push_back(lattice);
        test::fill_lattice(world, lattice, random, 60);
    }
    return world;
}

class ADatabase : public testing::Test {
  protected:
    ADatabase() : random_(110), world_(two_lattices(random_)), path_(folder_.path("a.sqlite")) {
        const auto written = test::write_world(world_, path_);
        EXPECT_TRUE(written.has_value()) << written.error().message;
    }

    /// Opening is refused with this code and a sentence that holds the words.
    void refused(ErrorCode code, const std::string& words, const std::string& path) {
        const auto opened = Database::open(path);
        ASSERT_FALSE(opened.has_value());
        EXPECT_EQ(opened.error().code, code) << opened.error().message;
        EXPECT_NE(opened.error().message.find(words), std::string::npos) << opened.error().message;
        EXPECT_NE(opened.error().message.find(path), std::string::npos) << opened.error().message;
    }

    std::unique_ptr<Database> opened() {
        auto database = Database::open(path_);
        EXPECT_TRUE(database.has_value()) << database.error().message;
        return database ? std::move(*database) : nullptr;
    }

    Random random_;
    TemporaryFolder folder_;
    World world_;
    std::string path_;
};

TEST_F(ADatabase, SaysWhatWasWritten) {
    const auto database = opened();
    ASSERT_NE(database, nullptr);
    EXPECT_EQ(database->lattices(), world_.lattices);
    EXPECT_EQ(database->layout().edge, world_.layout.edge);
    EXPECT_EQ(database->layout().layers, world_.layout.layers);
    EXPECT_EQ(database->metadata("title"), "Merrow valley");
    EXPECT_EQ(database->metadata("nothing of the kind"), "");
    EXPECT_EQ(database->metadata("last_tile_key"), std::to_string(world_.tiles.rbegin()->first));
    EXPECT_EQ(*database->period(1), "1971");
    EXPECT_EQ(*database->period(200), "");

    const auto sources = database->sources();
    ASSERT_TRUE(sources.has_value());
    ASSERT_EQ(sources->size(), 1U);
    const Source& source = sources->front();
    EXPECT_EQ(source.name, "gauges");
    EXPECT_EQ(source.licence, "CC0");
    EXPECT_EQ(source.values_used, 240);
    ASSERT_EQ(source.rejected.size(), 1U);
    EXPECT_EQ(source.rejected[0].count, 2);
    ASSERT_EQ(source.files.size(), 1U);
    EXPECT_EQ(source.files[0].name, "gauges.csv");

    const auto places = database->postal_places("1001");
    ASSERT_TRUE(places.has_value());
    ASSERT_EQ(places->size(), 2U);
    EXPECT_EQ((*places)[0].country, "AA");
    EXPECT_EQ((*places)[1].position, (LatLonE7{-441'000'000, 1'799'999'999}));
    EXPECT_TRUE(database->postal_places("")->empty());
    EXPECT_TRUE(database->postal_places("1001 or 1=1")->empty());
    EXPECT_EQ(*database->postal_countries(), (std::vector<std::string>{"AA", "AB"}));
}

TEST_F(ADatabase, ContainsExactlyTheTiles) {
    const auto database = opened();
    ASSERT_NE(database, nullptr);
    for (const Lattice& lattice : world_.lattices) {
        const TileAddress first = first_tile(lattice), last = last_tile(lattice);
        for (std::int32_t row = std::max(first.tile_row - 1, 0); row <= last.tile_row + 1; ++row) {
            for (std::int32_t column = std::max(first.tile_column - 1, 0);
                 column <= last.tile_column + 1; ++column) {
                const auto tile = database->tile(lattice, {row, column});
                ASSERT_TRUE(tile.has_value()) << tile.error().message;
                const auto expected = world_.tiles.find(tile_key(lattice.id, {row, column}));
                ASSERT_EQ(*tile != nullptr, expected != world_.tiles.end());
                if (*tile) {
                    EXPECT_TRUE(**tile == *expected->second);
                }
            }
        }
    }
}

TEST_F(ADatabase, AnswersAsTheWorldInMemory) {
    const auto database = opened();
    ASSERT_NE(database, nullptr);
    test::WorldTiles tiles(world_);
    for (const Lattice& lattice : world_.lattices) {
        for (const LatLonE7 position : test::positions_about(lattice, random_, 300)) {
            const auto from_file = database->answer(position, 700);
            const auto from_memory =
                answer_at(position, 700, world_.lattices, world_.layout, tiles);
            ASSERT_TRUE(from_file.has_value() && from_memory.has_value());
            EXPECT_EQ(from_file->found, from_memory->found);
            EXPECT_EQ(from_file->at, from_memory->at);
            EXPECT_EQ(from_file->distance_m, from_memory->distance_m);
            for (int layer = 0; layer < kLayerSlots; ++layer)
                EXPECT_EQ(from_file->values[layer], from_memory->values[layer]);
        }
    }
}

TEST_F(ADatabase, IsWhole) {
    const auto database = opened();
    ASSERT_NE(database, nullptr);
    const auto verified = verify_database(*database);
    ASSERT_TRUE(verified.has_value()) << verified.error().message;
    std::int64_t points = 0;
    for (const auto& [key, tile] : world_.tiles)
        points += std::count(tile->present.begin(), tile->present.end(), 1);
    EXPECT_EQ(verified->points, points);
    EXPECT_EQ(verified->tiles, static_cast<std::int64_t>(world_.tiles.size()));
    EXPECT_EQ(verified->postal_codes, 3);
    EXPECT_EQ(verified->bytes, static_cast<std::int64_t>(std::filesystem::file_size(path_)));
}

TEST_F(ADatabase, IsWrittenWithTheSameBytesByTheSameCalls) {
    const std::string again = folder_.path("again.sqlite");
    ASSERT_TRUE(test::write_world(world_, again).has_value());
    EXPECT_EQ(test::bytes_of_file(again), test::bytes_of_file(path_));
}

TEST_F(ADatabase, TakesTheOldOnesPlaceOnlyWhenFinished) {
    const std::string before = test::bytes_of_file(path_);
    {
        auto writer = DatabaseWriter::create(path_, world_.layout);
        ASSERT_TRUE(writer.has_value());
        ASSERT_TRUE((*writer)->add_lattice(world_.lattices[0]).has_value());
        EXPECT_EQ(folder_.names().size(), 2U);
    }
    EXPECT_EQ(folder_.names(), std::vector<std::string>{"a.sqlite"});
    EXPECT_EQ(test::bytes_of_file(path_), before);
    World other = world_;
    other.tiles.erase(other.tiles.begin());
    ASSERT_TRUE(test::write_world(other, path_).has_value());
    EXPECT_EQ(folder_.names(), std::vector<std::string>{"a.sqlite"});
    EXPECT_NE(test::bytes_of_file(path_), before);
}

TEST_F(ADatabase, IsNotPutInPlaceIfAReaderWouldRefuseIt) {
    const std::string before = test::bytes_of_file(path_);
    {
        auto writer = DatabaseWriter::create(path_, world_.layout);
        ASSERT_TRUE(writer.has_value());
        const auto finished = (*writer)->finish();  // without a lattice
        ASSERT_FALSE(finished.has_value());
    }
    EXPECT_EQ(folder_.names(), std::vector<std::string>{"a.sqlite"});
    EXPECT_EQ(test::bytes_of_file(path_), before);
}

TEST_F(ADatabase, WriterRefusesTilesOutOfOrder) {
    auto writer = DatabaseWriter::create(folder_.path("b.sqlite"), world_.layout);
    ASSERT_TRUE(writer.has_value());
    const std::vector<std::uint8_t> data(100, 1);
    ASSERT_TRUE((*writer)->add_tile(5, kCodecPlain, data).has_value());
    for (const std::int64_t key : {5, 4, 0, -1}) {
        const auto added = (*writer)->add_tile(key, kCodecPlain, data);
        ASSERT_FALSE(added.has_value());
        EXPECT_EQ(added.error().code, ErrorCode::internal);
    }
}

TEST_F(ADatabase, WriterIgnoresLeftoversOfAKilledOne) {
    const std::string target = folder_.path("b.sqlite");
    test::write_bytes(target + ".partial-" + std::to_string(getpid()), "left over");
    EXPECT_TRUE(test::write_world(world_, target).has_value());
    EXPECT_EQ(test::bytes_of_file(target), test::bytes_of_file(path_));
}

TEST_F(ADatabase, WriterReportsWhyItCannotWrite) {
    for (const std::string& target : {folder_.path("no/such/folder.sqlite"), path_ + "/b.sqlite"}) {
        const auto written = test::write_world(world_, target);
        ASSERT_FALSE(written.has_value());
        EXPECT_EQ(written.error().code, ErrorCode::io);
        EXPECT_NE(written.error().message.find(target), std::string::npos);
    }
    const std::string folder = folder_.path("folder");
    std::filesystem::create_directory(folder);
    test::write_bytes(folder + "/file", "");
    const auto over_folder = test::write_world(world_, folder);
    ASSERT_FALSE(over_folder.has_value());
    EXPECT_EQ(over_folder.error().code, ErrorCode::io);
    EXPECT_EQ(folder_.names(), (std::vector<std::string>{"a.sqlite", "folder"}));
}

TEST_F(ADatabase, OpensFromUnusualPathsAndReadOnlyFolders) {
    for (const char* name : {"a b?c=d&e#f%41.sqlite", "mode=rw.sqlite", "ä.sqlite", "'\".sqlite"}) {
        std::filesystem::copy_file(path_, folder_.path(name));
        EXPECT_TRUE(Database::open(folder_.path(name)).has_value()) << name;
        EXPECT_TRUE(Database::open("/" + folder_.path(name)).has_value()) << name;  // "//…"
    }
    chmod(path_.c_str(), 0444);
    const auto names = folder_.names();
    EXPECT_TRUE(Database::open(path_).has_value());
    EXPECT_EQ(folder_.names(), names);  // nothing is written beside it
}

TEST_F(ADatabase, OtherFilesAreRefused) {
    const std::string other = folder_.path("other");
    refused(ErrorCode::io, "cannot open", other);
    refused(ErrorCode::io, "folder", folder_.path(""));
    test::write_bytes(other, "");
    refused(ErrorCode::bad_database, "not a Thirstline database", other);
    test::write_bytes(other, std::string(5'000, 'x'));
    refused(ErrorCode::bad_database, "not a Thirstline database", other);
    const std::string foreign = folder_.path("foreign");
    test::run_on_file(foreign, "CREATE TABLE lattice (a); INSERT INTO lattice VALUES (1)");
    refused(ErrorCode::bad_database, "not a Thirstline database", foreign);
}

TEST_F(ADatabase, TruncatedFilesAreRefused) {
    const std::string whole = test::bytes_of_file(path_);
    const std::string cut = folder_.path("cut");
    for (const std::size_t length :
         {std::size_t{1}, std::size_t{15}, std::size_t{16}, std::size_t{99}, std::size_t{100},
          std::size_t{101}, std::size_t{4'095}, std::size_t{4'096}, std::size_t{8'192},
          whole.size() / 2, whole.size() - 4'096, whole.size() - 1}) {
        test::write_bytes(cut, whole.substr(0, length));
        refused(ErrorCode::bad_database, length < 100 ? "not a Thirstline" : "damaged", cut);
    }
    test::write_bytes(cut, whole + std::string(4'096, '\0'));
    refused(ErrorCode::bad_database, "damaged", cut);
}

TEST_F(ADatabase, OtherMajorVersionsAreRefusedByName) {
    test::run_on_file(path_, "PRAGMA user_version = 2003");
    refused(ErrorCode::bad_database, "format 2.3", path_);
    EXPECT_NE(Database::open(path_).error().hint.find("newer version"), std::string::npos);
    test::run_on_file(path_, "PRAGMA user_version = 7");
    refused(ErrorCode::bad_database, "format 0.7", path_);
    EXPECT_NE(Database::open(path_).error().hint.find("build"), std::string::npos);
    test::run_on_file(path_, "PRAGMA user_version = -1");
    refused(ErrorCode::bad_database, "format", path_);
}

TEST_F(ADatabase, ANewerMinorVersionMayAddLayersColumnsTablesAndMetadata) {
    const auto before = opened();
    ASSERT_NE(before, nullptr);
    const std::string newer = folder_.path("newer");
    std::filesystem::copy_file(path_, newer);
    test::run_on_file(
        newer, "PRAGMA user_version = " + std::to_string(kUserVersion + 1) +
                   "; INSERT INTO layer VALUES (100, 'snow', 'mm', 'point_month', 1, 2, 0);"
                   "INSERT INTO layer VALUES (255, 'soil', 'code', 'point', 1, 1, 1);"
                   "ALTER TABLE source ADD COLUMN doi TEXT NOT NULL DEFAULT 'none';"
                   "INSERT INTO metadata VALUES ('editor', 'someone');"
                   "CREATE TABLE river (river_id INTEGER NOT NULL PRIMARY KEY, name TEXT NOT "
                   "NULL) STRICT;"
                   "INSERT INTO river VALUES (1, 'Merrow')");
    test::extend_tiles(newer, 16 * 12 * 2 + 16);
    test::seal(newer);
    auto database = Database::open(newer);
    ASSERT_TRUE(database.has_value()) << database.error().message;
    const auto verified = verify_database(**database);
    EXPECT_TRUE(verified.has_value()) << verified.error().message;
    EXPECT_EQ((*database)->metadata("editor"), "someone");
    EXPECT_TRUE((*database)->sources().has_value());
    for (const LatLonE7 position : test::positions_about(world_.lattices[0], random_, 100)) {
        const auto a = before->answer(position, 500), b = (*database)->answer(position, 500);
        ASSERT_TRUE(a.has_value() && b.has_value());
        for (int layer = 0; layer < kLayerSlots; ++layer)
            EXPECT_EQ(a->values[layer], b->values[layer]);
    }
}

TEST_F(ADatabase, AMissingTableIsNamed) {
    for (const char* table : {"metadata", "lattice", "layer", "source", "source_rejection",
                              "source_file", "period", "method", "tile", "postal"}) {
        const std::string without = folder_.path("without");
        std::filesystem::copy_file(path_, without,
                                   std::filesystem::copy_options::overwrite_existing);
        test::run_on_file(without,
                          std::string("PRAGMA legacy_alter_table=ON; DROP TABLE ") + table);
        refused(ErrorCode::bad_database, table, without);
        // A view in its place could do anything at all.
        test::run_on_file(without,
                          std::string("CREATE VIEW ") + table + " AS SELECT 1 AS a, 2 AS b");
        refused(ErrorCode::bad_database, table, without);
    }
}

TEST_F(ADatabase, AMissingColumnIsAnError) {
    test::run_on_file(path_, "ALTER TABLE tile RENAME COLUMN crc32 TO crc33");
    refused(ErrorCode::bad_database, "crc32", path_);
}

TEST_F(ADatabase, ImpossibleNumbersAreRefusedEvenUnderAFittingChecksum) {
    const std::string strange = folder_.path("strange");
    for (const char* change :
         {"UPDATE layer SET divisor = 0 WHERE layer_id = 1",
          "UPDATE layer SET divisor = 4294967396 WHERE layer_id = 1",
          "UPDATE layer SET width_bytes = 4 WHERE layer_id = 1",
          "UPDATE layer SET width_bytes = 4294967298 WHERE layer_id = 1",
          "UPDATE layer SET shape = 'point' WHERE layer_id = 1",
          "UPDATE layer SET shape = 'cube' WHERE layer_id = 2",
          "UPDATE layer SET layer_id = 4294967298 WHERE layer_id = 2",
          "DELETE FROM layer WHERE layer_id = 1", "DELETE FROM lattice",
          "UPDATE lattice SET columns = 9000000000000000000 WHERE lattice_id = 1",
          "UPDATE lattice SET tile_edge = 8 WHERE lattice_id = 7",
          "UPDATE lattice SET west_arcsec = -9000000000000000000 WHERE lattice_id = 1",
          "UPDATE metadata SET value = 'x' WHERE key = 'last_tile_key'",
          "UPDATE metadata SET value = '99999999999999999999' WHERE key = 'last_tile_key'",
          "DELETE FROM metadata WHERE key = 'last_tile_key'"}) {
        std::filesystem::copy_file(path_, strange,
                                   std::filesystem::copy_options::overwrite_existing);
        test::run_on_file(strange, std::string("PRAGMA ignore_check_constraints=ON;") + change);
        test::seal(strange);
        const auto opened = Database::open(strange);
        ASSERT_FALSE(opened.has_value()) << change;
        EXPECT_EQ(opened.error().code, ErrorCode::bad_database) << change;
    }
}

TEST_F(ADatabase, AnEditedSmallTableIsNoticedWhenOpened) {
    const std::string edited = folder_.path("edited");
    for (const char* change : {"UPDATE lattice SET west_arcsec = west_arcsec + 1",
                               "UPDATE layer SET divisor = 10 WHERE layer_id = 1",
                               "UPDATE metadata SET value = 'tall' WHERE key = 'reference'",
                               "UPDATE metadata SET value = '0' WHERE key = 'content_sha256'",
                               "UPDATE period SET text = '' WHERE period_id = 1",
                               "UPDATE source SET licence = 'none'", "DROP VIEW profile"}) {
        std::filesystem::copy_file(path_, edited,
                                   std::filesystem::copy_options::overwrite_existing);
        test::run_on_file(edited, change);
        refused(ErrorCode::bad_database, "checksum", edited);
    }
}

TEST_F(ADatabase, AHiddenTileIsMissedByLookUpAndByVerify) {
    const std::string hidden = folder_.path("hidden");
    for (const auto& [key, tile] : world_.tiles) {
        std::filesystem::copy_file(path_, hidden,
                                   std::filesystem::copy_options::overwrite_existing);
        test::run_on_file(hidden, "DELETE FROM tile WHERE tile_key = " + std::to_string(key));
        auto database = Database::open(hidden);
        ASSERT_TRUE(database.has_value());
        for (const Lattice& lattice : world_.lattices) {
            if (lattice.id != lattice_id_of_key(key)) continue;
            const auto found = (*database)->tile(lattice, tile_of_key(key));
            ASSERT_FALSE(found.has_value());
            EXPECT_EQ(found.error().code, ErrorCode::bad_database);
            EXPECT_NE(found.error().message.find(std::to_string(key)), std::string::npos);
        }
        EXPECT_FALSE(verify_database(**database).has_value());
    }
}

TEST_F(ADatabase, TheTableNeedNotHoldEveryTileOfTheLattice) {
    // A lattice over land and sea has no tiles at sea: a look-up there is no error.
    World world;
    world.layout = test::layout_of(4, {LayerId::eto});
    const Lattice lattice = test::lattice_of(0, 0, 3'600, 40, 40, 4);
    world.lattices = {lattice};
    for (const LatticePoint point : {LatticePoint{5, 5}, {5, 30}, {30, 5}})
        world.made_tile(lattice, point).present[0] = 1;
    const std::string path = folder_.path("sea.sqlite");
    auto writer = DatabaseWriter::create(path, world.layout);
    ASSERT_TRUE(writer.has_value());
    ASSERT_TRUE((*writer)->add_lattice(lattice).has_value());
    for (const auto& [key, tile] : world.tiles) {
        const auto data = encode_tile(kCodecPlain, world.layout, *tile);
        ASSERT_TRUE((*writer)->add_tile(key, kCodecPlain, *data).has_value());
    }
    ASSERT_TRUE((*writer)->finish().has_value());
    auto database = Database::open(path);
    ASSERT_TRUE(database.has_value());
    for (std::int32_t row = 45; row < 56; ++row) {
        for (std::int32_t column = 0; column < 90; ++column) {
            const auto tile = (*database)->tile(lattice, {row, column});
            ASSERT_TRUE(tile.has_value()) << tile.error().message;
            EXPECT_EQ(*tile != nullptr, world.tiles.contains(tile_key(1, {row, column})));
        }
    }
}

TEST_F(ADatabase, AnEmptyOneFindsNothingAndIsWhole) {
    World world;
    world.layout = test::layout_of(8);
    world.lattices = {test::lattice_of(0, 0, 3'600, 4, 4, 8)};
    world.lattices[0].reach_m = 20'000'000;
    const std::string path = folder_.path("empty.sqlite");
    ASSERT_TRUE(test::write_world(world, path).has_value());
    auto database = Database::open(path);
    ASSERT_TRUE(database.has_value());
    const auto answer = (*database)->answer({0, 0});
    ASSERT_TRUE(answer.has_value());
    EXPECT_FALSE(answer->found);
    EXPECT_TRUE(verify_database(**database).has_value());
}

TEST_F(ADatabase, InfoNamesEverySource) {
    const auto database = opened();
    ASSERT_NE(database, nullptr);
    const auto text = database_info_text(*database);
    const auto json = database_info_json(*database);
    ASSERT_TRUE(text.has_value() && json.has_value());
    for (const char* word : {"Merrow valley", "gauges", "CC0", "negative rain", "1.3"}) {
        EXPECT_NE(text->find(word), std::string::npos) << word;
        EXPECT_NE(json->find(word), std::string::npos) << word;
    }
}

}  // namespace
}  // namespace thirstline
