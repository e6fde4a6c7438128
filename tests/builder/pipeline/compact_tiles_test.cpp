// The same build in plain and in compact tiles: the same answers from a much smaller file.
// Nothing here is a number of this program: one coding is held against the other.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <set>

#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using test::builder;
using test::content_of;
using test::lookup;
using test::open_database;
using test::Region;
using test::stored_at;

double uneven_ground_m(LatLon at, int /*month*/) {
    return 500.0 + 400.0 * std::sin(2.3 * at.lat_deg) * std::cos(1.7 * at.lon_deg);
}

class CompactTiles : public testing::Test {
  protected:
    CompactTiles() {
        region_.lattice = "spacing_arcsec = 900\nbbox = [9.0, 44.0, 15.0, 50.0]\nreach_km = 50\n";
        region_.set_elevation(north_up(7.0, 52.0, 0.1, 100, 100), uneven_ground_m);
        region_.add_plain_grids(north_up(8.0, 51.0, 1.0, 8, 8));
    }
    void write_recipe(const std::string& code) {
        region_.rest = "[output]\ncode = \"" + code + "\"\n";
        recipe_ = region_.write_recipe();
    }
    /// Builds through the program; the file's path.
    std::string built(const std::string& name, const std::vector<std::string>& options = {}) const {
        std::vector<std::string> arguments{"build", recipe_, "-o", path(name)};
        arguments.insert(arguments.end(), options.begin(), options.end());
        const test::ProgramRun run = builder(arguments);
        EXPECT_EQ(run.status, 0) << run.err;
        return path(name);
    }
    void build(const std::string& code) {
        write_recipe(code);
        built(code);
    }
    [[nodiscard]] std::string path(const std::string& name) const {
        return folder_ / (name + ".sqlite");
    }
    Region region_;
    std::string recipe_;
    TempFolder folder_;
};

TEST_F(CompactTiles, GiveTheSameAnswersFromASmallerFile) {
    build("plain");
    build("compact");
    const auto plain = open_database(path("plain"));
    const auto compact = open_database(path("compact"));
    const Lattice& lattice = plain->lattices().front();
    EXPECT_EQ(lattice.tile_edge, kPlainTileEdge);
    Lattice of_compact = compact->lattices().front();
    EXPECT_EQ(of_compact.tile_edge, kCompactTileEdge);
    of_compact.tile_edge = lattice.tile_edge;
    ASSERT_EQ(lattice, of_compact);
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

/// Gradients are a tile's, and tiles differ in size: yet all answers must be the same, also where
/// the tiles around a place lie in several squares.
TEST_F(CompactTiles, AdjustToElevationAsPlainTilesDo) {
    build("plain");
    build("compact");
    const auto plain = open_database(path("plain"));
    const auto compact = open_database(path("compact"));
    std::set<std::int32_t> gradients;
    for (double lat_deg = 44.03; lat_deg < 50.0; lat_deg += 0.21) {
        for (double lon_deg = 9.03; lon_deg < 15.0; lon_deg += 0.21) {
            const LatLonE7 at = to_e7({lat_deg, lon_deg});
            const auto expected = plain->answer(at, 1500);
            const auto answer = compact->answer(at, 1500);
            ASSERT_TRUE(expected && answer && expected->found);
            for (const Layer& layer : plain->layout().layers)
                ASSERT_EQ(answer->of(layer.id), expected->of(layer.id)) << layer.name;
            gradients.insert(expected->of(LayerId::eto_gradient)[6]);
        }
    }
    EXPECT_GT(gradients.size(), 4U);  // the squares' gradients differ, or nothing would be shown
}

/// A row of three points, none of which is one of a square's samples.
TEST_F(CompactTiles, KnowAGradientWhereNoSampleOfASquareIs) {
    region_.lattice = "spacing_arcsec = 900\nbbox = [9.0, 44.0, 9.5, 44.0]\nreach_km = 50\n";
    build("plain");
    build("compact");
    const LatLonE7 at = to_e7({44.0, 9.3});
    const auto expected = open_database(path("plain"))->answer(at, 1500);
    const auto answer = open_database(path("compact"))->answer(at, 1500);
    ASSERT_TRUE(expected && answer && expected->found);
    EXPECT_NE(expected->of(LayerId::eto_gradient)[6], kMissingValue);
    for (const LayerId layer : {LayerId::eto, LayerId::eto_gradient, LayerId::tmax})
        EXPECT_EQ(answer->of(layer), expected->of(layer));
}

TEST_F(CompactTiles, HaveTheSameBytesAgainAndFromParts) {
    write_recipe("compact");
    const std::string whole = content_of(built("whole"));
    EXPECT_TRUE(content_of(built("again", {"--jobs", "3"})) == whole);
    const auto lattice = open_database(path("whole"))->lattices().front();
    const int rows = last_tile(lattice).tile_row - first_tile(lattice).tile_row + 1;
    ASSERT_GE(rows, 2);
    const std::string south = built("south", {"--tile-rows", "0:1"});
    const std::string north = built("north", {"--tile-rows", "1:" + std::to_string(rows)});
    ASSERT_EQ(builder({"join", north, south, "-o", path("joined")}).status, 0);
    EXPECT_TRUE(content_of(path("joined")) == whole);
    ASSERT_EQ(builder({"export", path("whole"), "--as", "sqlite", "-o", path("copy")}).status, 0);
    EXPECT_TRUE(content_of(path("copy")) == whole);
}

TEST_F(CompactTiles, DoNotJoinPlainOnes) {
    write_recipe("compact");
    const std::string south = built("south", {"--tile-rows", "0:1"});
    write_recipe("plain");
    const std::string north = built("north", {"--tile-rows", "2:4"});
    const test::ProgramRun run = builder({"join", south, north, "-o", path("joined")});
    EXPECT_EQ(run.status, 3);
    EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    for (const char* said : {"south.sqlite", "16 points", "north.sqlite", "8", "code"})
        EXPECT_NE(run.err.find(said), std::string::npos) << run.err;
    EXPECT_FALSE(std::filesystem::exists(path("joined")));
}

TEST_F(CompactTiles, AnUnknownCodeIsRefusedWithTheNearest) {
    region_.rest = "[output]\ncode = \"compct\"\n";
    const Error error = region_.build_error();
    EXPECT_NE(error.message.find("compct"), std::string::npos) << error.message;
    EXPECT_NE((error.message + error.hint).find("compact"), std::string::npos);
}

}  // namespace
}  // namespace thirstline
