// Each named constraint of schema/database/sql/tables.sql is enforced, and the error contains its
// name.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "schema/database/sql_text.hpp"
#include "schema/database/sqlite_handles.hpp"

namespace thirstline {
namespace {

class DatabaseConstraints : public testing::Test {
  protected:
    DatabaseConstraints() {
        sqlite3* raw = nullptr;
        EXPECT_EQ(sqlite3_open(":memory:", &raw), SQLITE_OK);
        connection_.reset(raw);
        EXPECT_EQ(run("PRAGMA foreign_keys=ON"), "");
        EXPECT_EQ(run(tables_sql()), "");
        EXPECT_EQ(run(views_sql()), "");
    }

    /// SQLite's message; empty if it took the statement.
    std::string run(const std::string& sql) {
        char* message = nullptr;
        sqlite3_exec(connection_.get(), sql.c_str(), nullptr, nullptr, &message);
        const std::string text = message != nullptr ? message : "";
        sqlite3_free(message);
        return text;
    }

    SqliteConnection connection_;
};

struct Broken {
    const char* values;
    const char* constraint;
};

TEST_F(DatabaseConstraints, Lattice) {
    const std::string insert = "INSERT INTO lattice VALUES ";
    EXPECT_EQ(run(insert + "(1, 'a', 0, 0, 900, 10, 10, 0, 8, 50000)"), "");
    EXPECT_EQ(run(insert + "(2, 'a', -648000, -324000, 900, 1440, 721, 0, 8, 0)"), "");
    for (const auto& [values, constraint] : std::vector<Broken>{
             {"(0, 'a', 0, 0, 900, 10, 10, 0, 8, 0)", "lattice_id_in_range"},
             {"(4096, 'a', 0, 0, 900, 10, 10, 0, 8, 0)", "lattice_id_in_range"},
             {"(3, 'a', 648000, 0, 900, 10, 10, 0, 8, 0)", "lattice_west_in_range"},
             {"(3, 'a', 0, -324001, 900, 10, 10, 0, 8, 0)", "lattice_south_in_range"},
             {"(3, 'a', 0, 0, 0, 10, 10, 0, 8, 0)", "lattice_spacing_in_range"},
             {"(3, 'a', 0, 0, 36001, 2, 2, 0, 8, 0)", "lattice_spacing_in_range"},
             {"(3, 'a', 0, 0, 900, 0, 10, 0, 8, 0)", "lattice_columns_positive"},
             {"(3, 'a', 0, 0, 900, 10, 0, 0, 8, 0)", "lattice_rows_positive"},
             {"(3, 'a', 0, 0, 900, 10, 10, 0, 1, 0)", "lattice_tile_edge_in_range"},
             {"(3, 'a', 0, 0, 900, 10, 10, 0, 65, 0)", "lattice_tile_edge_in_range"},
             {"(3, 'a', 0, 0, 900, 10, 10, 0, 8, -1)", "lattice_reach_in_range"},
             {"(3, 'a', 0, 0, 900, 1441, 10, 0, 8, 0)", "lattice_within_a_circle"},
             {"(3, 'a', 0, 0, 900, 10, 362, 0, 8, 0)", "lattice_within_the_poles"}}) {
        EXPECT_NE(run(insert + values).find(constraint), std::string::npos) << values;
    }
    EXPECT_NE(run(insert + "(3, 'a', 'x', 0, 900, 10, 10, 0, 8, 0)"), "");  // STRICT
    EXPECT_NE(run(insert + "(3, NULL, 0, 0, 900, 10, 10, 0, 8, 0)"), "");
}

TEST_F(DatabaseConstraints, Layer) {
    const std::string insert = "INSERT INTO layer VALUES ";
    EXPECT_EQ(run(insert + "(1, 'eto', 'mm/day', 'point_month', 100, 2, 0)"), "");
    for (const auto& [values, constraint] :
         std::vector<Broken>{{"(0, 'b', '', 'point', 1, 1, 0)", "layer_id_in_range"},
                             {"(256, 'b', '', 'point', 1, 1, 0)", "layer_id_in_range"},
                             {"(2, 'b', '', 'cube', 1, 1, 0)", "layer_shape_known"},
                             {"(2, 'b', '', 'point', 0, 1, 0)", "layer_divisor_in_range"},
                             {"(2, 'b', '', 'point', 10001, 1, 0)", "layer_divisor_in_range"},
                             {"(2, 'b', '', 'point', 1, 3, 0)", "layer_width_known"},
                             {"(2, 'b', '', 'point', 1, 1, 2)", "layer_is_signed_boolean"},
                             {"(2, 'eto', '', 'point', 1, 1, 0)", "layer.name"}}) {
        EXPECT_NE(run(insert + values).find(constraint), std::string::npos) << values;
    }
}

TEST_F(DatabaseConstraints, Tile) {
    const std::string insert = "INSERT INTO tile VALUES ";
    EXPECT_EQ(run(insert + "(5, 5, 0, 4294967295, x'00')"), "");
    for (const auto& [values, constraint] :
         std::vector<Broken>{{"(6, 0, 0, 0, x'00')", "tile_gap_in_range"},
                             {"(6, 7, 0, 0, x'00')", "tile_gap_in_range"},
                             {"(6, 1, -1, 0, x'00')", "tile_codec_in_range"},
                             {"(6, 1, 256, 0, x'00')", "tile_codec_in_range"},
                             {"(6, 1, 0, -1, x'00')", "tile_crc32_in_range"},
                             {"(6, 1, 0, 4294967296, x'00')", "tile_crc32_in_range"},
                             {"(5, 1, 0, 0, x'00')", "tile.tile_key"},
                             {"(6, 1, 0, 0, NULL)", "tile.data"}}) {
        EXPECT_NE(run(insert + values).find(constraint), std::string::npos) << values;
    }
    EXPECT_NE(run(insert + "(6, 1, 0, 0, 'text')"), "");
}

TEST_F(DatabaseConstraints, SourcesPeriodsMethodsAndPostalCodes) {
    const std::string sha(64, 'a');
    EXPECT_EQ(run("INSERT INTO source VALUES (1, '', '', '', '', '', '', 0)"), "");
    EXPECT_EQ(run("INSERT INTO source_rejection VALUES (1, 'rule', 1)"), "");
    EXPECT_EQ(run("INSERT INTO source_file VALUES (1, 1, 'a', '" + sha + "')"), "");
    EXPECT_EQ(run("INSERT INTO period VALUES (0, ''), (254, '')"), "");
    EXPECT_EQ(run("INSERT INTO method VALUES (0, '', '', ''), (65534, '', '', '')"), "");
    EXPECT_EQ(run("INSERT INTO postal VALUES ('1', 'AA', '', 900000000, -1800000000, 0)"), "");
    const std::string other_sha = "INSERT INTO source_file VALUES (1, 2, 'a', '" + sha + "b')";
    const std::string other_source = "INSERT INTO source_file VALUES (9, 1, 'a', '" + sha + "')";
    for (const auto& [sql, constraint] : std::vector<Broken>{
             {"INSERT INTO source VALUES (2, '', '', '', '', '', '', -1)",
              "source_values_not_negative"},
             {"INSERT INTO source_rejection VALUES (1, 'other', 0)",
              "source_rejection_count_positive"},
             {"INSERT INTO source_rejection VALUES (9, 'rule', 1)", "FOREIGN KEY"},
             {other_sha.c_str(), "source_file_sha256_form"},
             {other_source.c_str(), "FOREIGN KEY"},
             {"INSERT INTO period VALUES (-1, '')", "period_id_in_range"},
             {"INSERT INTO period VALUES (255, '')", "period_id_in_range"},
             {"INSERT INTO method VALUES (-1, '', '', '')", "method_code_in_range"},
             {"INSERT INTO method VALUES (65535, '', '', '')", "method_code_in_range"},
             {"INSERT INTO postal VALUES ('', 'AA', '', 0, 0, 0)", "postal_code_not_empty"},
             {"INSERT INTO postal VALUES ('2', 'aa', '', 0, 0, 0)", "postal_country_form"},
             {"INSERT INTO postal VALUES ('2', 'AAA', '', 0, 0, 0)", "postal_country_form"},
             {"INSERT INTO postal VALUES ('2', 'AA', '', 900000001, 0, 0)",
              "postal_latitude_in_range"},
             {"INSERT INTO postal VALUES ('2', 'AA', '', 0, 1800000000, 0)",
              "postal_longitude_in_range"},
             {"INSERT INTO postal VALUES ('2', 'AA', '', 0, 0, -1)", "postal_crc32_in_range"},
             {"INSERT INTO postal VALUES ('1', 'AA', '', 0, 0, 0)", "postal.code"},
             {"INSERT INTO station VALUES (0, '', '', 0, 0, 0, '', '', '', 0)",
              "station_id_positive"},
             {"INSERT INTO station VALUES (1, '', '', -900000001, 0, 0, '', '', '', 0)",
              "station_latitude_in_range"},
             {"INSERT INTO station VALUES (1, '', '', 0, 1800000000, 0, '', '', '', 0)",
              "station_longitude_in_range"},
             {"INSERT INTO station VALUES (1, '', '', 0, 0, 10001, '', '', '', 0)",
              "station_elevation_in_range"},
             {"INSERT INTO station VALUES (1, '', '', 0, 0, 0, '', '', '', 4294967296)",
              "station_crc32_in_range"}}) {
        EXPECT_NE(run(sql).find(constraint), std::string::npos) << sql;
    }
}

// A constraint that is added without a test above: the count is of those with a name.
TEST_F(DatabaseConstraints, AreAllTried) {
    const std::string sql = tables_sql();
    int named = 0;
    for (std::size_t at = sql.find("CONSTRAINT"); at != std::string::npos;
         at = sql.find("CONSTRAINT", at + 1)) {
        ++named;
    }
    EXPECT_EQ(named, 36);
}

}  // namespace
}  // namespace thirstline
