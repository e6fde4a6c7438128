// The same build in plain and in compact tiles: the same answers from a much smaller file.
#include <gtest/gtest.h>

#include <filesystem>

#include "tests/builder/invented_region.hpp"
#include "tests/builder/program_run.hpp"

namespace thirstline {
namespace {

using test::builder;
using test::lookup;
using test::open_database;
using test::Region;
using test::stored_at;

class CompactTiles : public testing::Test {
  protected:
    void build(const std::string& code) {
        Region region;
        region.lattice = "spacing_arcsec = 900\nbbox = [9.0, 44.0, 15.0, 50.0]\nreach_km = 50\n";
        region.add_plain_grids(north_up(8.0, 51.0, 1.0, 8, 8));
        region.rest = "[output]\ncode = \"" + code + "\"\n";
        region.build(code + ".sqlite");
        std::filesystem::copy_file(region.path(code + ".sqlite"), path(code));
    }
    [[nodiscard]] std::string path(const std::string& code) const {
        return folder_ / (code + ".sqlite");
    }
    TempFolder folder_;
};

TEST_F(CompactTiles, GiveTheSameAnswersFromASmallerFile) {
    build("plain");
    build("compact");
    const auto plain = open_database(path("plain"));
    const auto compact = open_database(path("compact"));
    const Lattice& lattice = plain->lattices().front();
    ASSERT_EQ(lattice, compact->lattices().front());
    int points = 0;
    for (int row = 0; row < lattice.rows; ++row) {
        for (int column = 0; column < lattice.columns; ++column) {
            const auto expected = stored_at(*plain, LatticePoint{row, column});
            ASSERT_EQ(stored_at(*compact, LatticePoint{row, column}), expected)
                << row << " " << column;
            points += expected.present ? 1 : 0;
        }
    }
    EXPECT_GT(points, 500);
    EXPECT_LT(std::filesystem::file_size(path("compact")),
              std::filesystem::file_size(path("plain")) / 2);
    EXPECT_EQ(builder({"verify", path("compact")}).status, 0);
    for (const char* format : {"json", "csv"}) {
        const auto asked = [&](const std::string& code) {
            return lookup({"site", "--db", path(code), "--at", "47.123,11.456", "--elevation",
                           "900", "--format", format})
                .out;
        };
        EXPECT_EQ(asked("compact"), asked("plain"));
    }
}

TEST_F(CompactTiles, MeansCanBeReadAlone) {
    for (const char* code : {"plain", "compact"}) {
        build(code);
        const auto database = open_database(path(code));
        const Lattice& lattice = database->lattices().front();
        const TileAddress address = tile_of(lattice, {10, 10});
        const auto whole = database->tile(lattice, address);
        const auto means = database->tile_means(lattice, address);
        ASSERT_TRUE(whole && *whole && means && *means);
        EXPECT_EQ((*means)->present, (*whole)->present);
        EXPECT_EQ((*means)->of(LayerId::eto), (*whole)->of(LayerId::eto));
        EXPECT_EQ((*means)->of(LayerId::rain), (*whole)->of(LayerId::rain));
        EXPECT_TRUE((*means)->of(LayerId::tmax).empty());
    }
}

TEST_F(CompactTiles, AnUnknownCodeIsRefusedWithTheNearest) {
    Region region;
    region.add_plain_grids(north_up(8.0, 51.0, 1.0, 8, 8));
    region.rest = "[output]\ncode = \"compct\"\n";
    const Error error = region.build_error();
    EXPECT_NE(error.message.find("compct"), std::string::npos) << error.message;
    EXPECT_NE((error.message + error.hint).find("compact"), std::string::npos);
}

}  // namespace
}  // namespace thirstline
