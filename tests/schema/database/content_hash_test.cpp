#include "schema/database/content_hash.hpp"

#include <gtest/gtest.h>

#include <string>

#include "schema/database/database.hpp"
#include "schema/database/database_report.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

class ContentHash : public testing::Test {
  protected:
    ContentHash() : random_(130), path_(folder_.path("a.sqlite")) {
        world_.layout = test::layout_of(4);
        world_.lattices = {test::lattice_of(0, 0, 3'600, 9, 9, 4)};
        test::fill_lattice(world_, world_.lattices[0], random_, 60);
        EXPECT_TRUE(test::write_world(world_, path_).has_value());
    }

    test::Random random_;
    test::TemporaryFolder folder_;
    test::World world_;
    std::string path_;
};

TEST_F(ContentHash, MatchesAReaderWrittenFromTheFormatDocument) {
    if (std::string_view(THIRSTLINE_TEST_PYTHON).empty()) GTEST_SKIP() << "no Python";
    const auto said =
        test::output_of(THIRSTLINE_TEST_PYTHON " " THIRSTLINE_TEST_FOLDER
                                               "/schema/database/content_hash_from_format.py " +
                        path_);
    ASSERT_TRUE(said.has_value());
    const auto database = Database::open(path_);
    ASSERT_TRUE(database.has_value());
    EXPECT_EQ(*said, (*database)->metadata("content_sha256") + "\n" +
                         (*database)->metadata("head_crc32") + "\n");
}

TEST_F(ContentHash, DoesNotDependOnHowSqliteKeepsTheContent) {
    const std::string hash = (*Database::open(path_))->metadata("content_sha256");
    test::run_on_file(
        path_,
        "PRAGMA page_size = 1024; VACUUM;"
        "CREATE TEMP TABLE kept AS SELECT * FROM postal;"
        "DELETE FROM postal; INSERT INTO postal SELECT * FROM kept ORDER BY place DESC;"
        "CREATE TEMP TABLE rows AS SELECT * FROM metadata;"
        "DELETE FROM metadata; INSERT INTO metadata SELECT * FROM rows ORDER BY value;");
    auto database = Database::open(path_);
    ASSERT_TRUE(database.has_value()) << database.error().message;
    EXPECT_TRUE(verify_database(**database).has_value());
    EXPECT_EQ(*content_sha256((*database)->connection(), path_), hash);
}

TEST_F(ContentHash, ChangesWithEveryTable) {
    const std::string hash = (*Database::open(path_))->metadata("content_sha256");
    for (const char* change :
         {"UPDATE metadata SET value = 'x' WHERE key = 'title'", "UPDATE lattice SET name = 'x'",
          "UPDATE layer SET unit = 'x' WHERE layer_id = 1", "UPDATE source SET url = 'x'",
          "UPDATE source_rejection SET count = 9", "UPDATE source_file SET name = 'x'",
          "UPDATE period SET text = 'x' WHERE period_id = 2", "UPDATE method SET note = 'x'",
          "UPDATE tile SET data = x'00'", "UPDATE postal SET place = 'x'"}) {
        const std::string changed = folder_.path("changed");
        test::write_bytes(changed, test::bytes_of_file(path_));
        test::run_on_file(changed, change);
        test::seal(changed);
        auto database = Database::open(changed);
        ASSERT_TRUE(database.has_value()) << database.error().message;
        EXPECT_NE((*database)->metadata("content_sha256"), hash) << change;
    }
}

}  // namespace
}  // namespace thirstline
