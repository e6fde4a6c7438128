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
        int points = 0;
        // A second time each tile is known already, and decoded otherwise.
        for (int time = 0; time < 2; ++time) {
            for (int row = 0; row < lattice.rows; ++row) {
                for (int column = 0; column < lattice.columns; ++column) {
                    const LatticePoint point{row, column};
                    const auto means = database->point_means(lattice, point);
                    const auto tile = database->tile(lattice, tile_of(lattice, point));
                    ASSERT_TRUE(means && tile);
                    const int slot = slot_in_tile(lattice, point);
                    const bool is_there =
                        *tile && (*tile)->present[static_cast<std::size_t>(slot)] != 0;
                    ASSERT_EQ(means->has_value(), is_there) << row << " " << column;
                    if (!is_there) continue;
                    ++points;
                    for (int month = 0; month < kMonths; ++month) {
                        const auto m = static_cast<std::size_t>(month);
                        ASSERT_EQ((*means)->eto[m],
                                  (*tile)->month_value(LayerId::eto, slot, month));
                        ASSERT_EQ((*means)->rain[m],
                                  (*tile)->month_value(LayerId::rain, slot, month));
                    }
                }
            }
        }
        EXPECT_GT(points, 1'000);
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
