// Files with other tables, views or columns than allowed are rejected before any query, and a
// look-up ends for any content.
#include "schema/database/accepted_schema.hpp"

#include <gtest/gtest.h>

#include <filesystem>

#include "schema/database/database.hpp"
#include "schema/database/database_report.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

class AcceptedSchema : public testing::Test {
  protected:
    AcceptedSchema() : path_(test::merrow_database({.stations = true})) {}

    /// Opening is refused with a sentence that holds the word. What would not end, the test's time
    /// limit ends.
    void refused(const std::string& word) {
        const auto opened = Database::open(path_);
        ASSERT_FALSE(opened.has_value()) << word;
        EXPECT_EQ(opened.error().code, ErrorCode::bad_database) << opened.error().message;
        EXPECT_NE(opened.error().message.find(word), std::string::npos) << opened.error().message;
    }
    /// Alters the file behind the writer's back.
    void run(const std::string& sql) { test::run_on_file(path_, sql); }

    const std::string path_;
};

constexpr const char* kEndless =
    "WITH RECURSIVE n(a, b) AS (SELECT 'a', 'b' UNION ALL SELECT a || 'a', b FROM n) "
    "SELECT a AS key, b AS value FROM n";

TEST_F(AcceptedSchema, HasNoViewInThePlaceOfATable) {
    for (const char* table : {"metadata", "layer", "lattice", "tile", "postal", "station"}) {
        std::filesystem::copy_file(test::merrow_database(), path_,
                                   std::filesystem::copy_options::overwrite_existing);
        run(std::string("PRAGMA legacy_alter_table=ON; DROP TABLE ") + table + "; CREATE VIEW " +
            table + " AS " + kEndless);
        refused(table);
    }
}

TEST_F(AcceptedSchema, HasNoOtherView) {
    run(std::string("CREATE VIEW more AS ") + kEndless);
    refused("more");
}

TEST_F(AcceptedSchema, HasNoTriggerNoIndexAndNoVirtualTable) {
    run("CREATE INDEX by_place ON postal (place)");
    refused("by_place");
    run("DROP INDEX by_place; CREATE TRIGGER late AFTER INSERT ON tile BEGIN SELECT 1; END");
    refused("late");
    run("DROP TRIGGER late; PRAGMA writable_schema=ON; INSERT INTO sqlite_schema VALUES ('table', "
        "'words', 'words', 0, 'CREATE VIRTUAL TABLE words USING fts5(a)')");
    refused("words");
}

TEST_F(AcceptedSchema, HasNoComputedColumn) {
    run("ALTER TABLE source ADD COLUMN much TEXT AS (hex(zeroblob(100000000))) VIRTUAL");
    refused("much");
}

TEST_F(AcceptedSchema, HasEveryColumnThatSiteReads) {
    run("ALTER TABLE source DROP COLUMN url");
    refused("url");
    const std::string stations = test::merrow_database({.stations = true});
    test::run_on_file(stations, "ALTER TABLE station DROP COLUMN period");
    const auto opened = Database::open(stations);
    ASSERT_FALSE(opened.has_value());
    EXPECT_NE(opened.error().message.find("period"), std::string::npos) << opened.error().message;
}

TEST_F(AcceptedSchema, HasTheKeysOfTheFormat) {
    // Without its key a look-up would pass over the whole table.
    run("PRAGMA legacy_alter_table=ON; ALTER TABLE tile RENAME TO old; CREATE TABLE tile (tile_key "
        "INTEGER NOT NULL, gap INTEGER NOT NULL, codec INTEGER NOT NULL, crc32 INTEGER NOT NULL, "
        "data BLOB NOT NULL) STRICT; INSERT INTO tile SELECT * FROM old; DROP TABLE old");
    refused("tile has another primary key");
}

TEST_F(AcceptedSchema, IsBoundedInItsRows) {
    std::string sql;
    for (int i = 0; i < kMaxSchemaRows; ++i)
        sql += "CREATE TABLE t" + std::to_string(i) + " (a INTEGER PRIMARY KEY, b TEXT) STRICT;";
    run(sql);
    refused("more than");
}

TEST_F(AcceptedSchema, TakesTheTablesOfALaterMinorVersion) {
    run("CREATE TABLE later_2 (a INTEGER PRIMARY KEY, b TEXT NOT NULL) STRICT; "
        "ALTER TABLE source ADD COLUMN later TEXT NOT NULL DEFAULT ''");
    test::seal(path_);
    EXPECT_TRUE(Database::open(path_).has_value());
}

TEST_F(AcceptedSchema, SmallTablesAreBoundedTogether) {
    // Five rows of 30 MB each.
    run("WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 5) "
        "INSERT INTO metadata SELECT 'long ' || i, CAST(zeroblob(30000000) AS TEXT) FROM n");
    refused("64 MiB");
}

TEST_F(AcceptedSchema, ConstraintsOfTheFileAreNotRunByVerify) {
    // Quadratic in some thirty million bytes: hours, so the test's time limit would end it.
    run("CREATE TABLE later (a INTEGER PRIMARY KEY, b TEXT NOT NULL, CHECK (instr("
        "hex(zeroblob(15000000)), hex(zeroblob(7000000)) || '1') = 0)) STRICT; "
        "PRAGMA ignore_check_constraints=ON; INSERT INTO later VALUES (1, 'a')");
    test::seal(path_);
    const auto opened = Database::open(path_);
    ASSERT_TRUE(opened.has_value()) << opened.error().message;
    EXPECT_TRUE(verify_database(**opened).has_value());
}

}  // namespace
}  // namespace thirstline
