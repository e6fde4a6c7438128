// A build is a function of its inputs: the same bytes for any number of threads, and shards that
// together equal the whole.
#include <gtest/gtest.h>
#include <sqlite3.h>

#include <cmath>
#include <filesystem>
#include <map>

#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using test::builder;
using test::content_of;
using test::open_database;
using test::plain_climate;
using test::ProgramRun;
using test::Region;

/// Some five thousand points over tiles of many rows, with holes and a few impossible values.
class BuildDeterminism : public testing::Test {
  protected:
    // Not in SetUpTestSuite: what fails there skips the tests, and a skipped test is not a red one.
    void SetUp() override {
        if (region_ == nullptr) make_region();
    }
    static void make_region() {
        region_ = new Region;
        region_->lattice = "spacing_arcsec = 360\nbbox = [8.3, 43.4, 15.6, 50.3]\nreach_km = 50\n";
        const RasterShape shape = north_up(8.0, 51.0, 0.25, 32, 32);
        region_->set_elevation(north_up(7.0, 52.0, 0.1, 100, 100), [](LatLon at, int) {
            return 300.0 + 200.0 * std::sin(at.lat_deg * 5.0) * std::cos(at.lon_deg * 7.0);
        });
        using enum Variable;
        for (const Variable variable : {tmax, tmin, vapour_pressure, wind, radiation, rain}) {
            region_->add_grid(variable, shape, [variable](LatLon at, int month) {
                const bool is_sea = at.lat_deg < 45.0 && at.lon_deg > 14.0;
                const bool is_hole = variable == wind && at.lon_deg > 12.0 && at.lat_deg > 47.0;
                const bool is_bad = variable == wind && std::fmod(at.lat_deg, 1.0) < 0.2 &&
                                    std::fmod(at.lon_deg, 1.0) < 0.2 && month == 4;
                if (is_sea || is_hole) return std::nan("");
                return is_bad ? -3.0
                              : plain_climate(variable, at, month) * (1.0 + 0.002 * at.lon_deg);
            });
        }
        test::write_text(region_->path("postal.csv"),
                         "zip,lat,lon\n04101,46.0,11.0\n04102,47.0,12.0\n");
        region_->rest =
            "[[postal]]\ncountry = \"XM\"\npath = \"postal.csv\"\nlayout = \"csv\"\n"
            "columns = { code = \"zip\", lat = \"lat\", lon = \"lon\" }\n";
        recipe_ = new std::string(region_->write_recipe());
        build("whole.sqlite", {"--jobs", "1"});
    }
    static void TearDownTestSuite() {
        delete region_;
        delete recipe_;
    }
    static void build(const std::string& name, std::vector<std::string> more) {
        std::vector<std::string> arguments{"build", *recipe_, "-o", region_->path(name)};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const ProgramRun run = builder(arguments);
        EXPECT_EQ(run.status, 0) << run.err;
        EXPECT_EQ(run.out, "");  // success is quiet
        EXPECT_EQ(run.err, "");
    }
    static std::string bytes_of(const std::string& name) { return content_of(region_->path(name)); }

    /// Tiles by key.
    static std::map<std::int64_t, std::string> tiles_of(Database& database) {
        std::map<std::int64_t, std::string> tiles;
        sqlite3_stmt* statement = nullptr;
        EXPECT_EQ(
            sqlite3_prepare_v2(database.connection(), "SELECT tile_key, codec, data FROM tile", -1,
                               &statement, nullptr),
            SQLITE_OK);
        while (sqlite3_step(statement) == SQLITE_ROW) {
            const auto* data = static_cast<const char*>(sqlite3_column_blob(statement, 2));
            tiles[sqlite3_column_int64(statement, 0)] =
                std::to_string(sqlite3_column_int(statement, 1)) + ":" +
                std::string(data, static_cast<std::size_t>(sqlite3_column_bytes(statement, 2)));
        }
        sqlite3_finalize(statement);
        return tiles;
    }

    static Region* region_;
    static std::string* recipe_;
};
Region* BuildDeterminism::region_ = nullptr;
std::string* BuildDeterminism::recipe_ = nullptr;

TEST_F(BuildDeterminism, TheSameBytesWhateverTheNumberOfThreads) {
    const std::string whole = bytes_of("whole.sqlite");
    EXPECT_GT(whole.size(), 100'000U);
    for (const char* jobs : {"1", "2", "5"}) {
        build("again.sqlite", {"--jobs", jobs, "--overwrite"});
        EXPECT_EQ(bytes_of("again.sqlite"), whole) << jobs << " threads";
    }
    build("default.sqlite", {});
    EXPECT_EQ(bytes_of("default.sqlite"), whole);
}

TEST_F(BuildDeterminism, AFileContainsNoPaths) {
    EXPECT_EQ(bytes_of("whole.sqlite").find(region_->path("")), std::string::npos);
}

TEST_F(BuildDeterminism, ShardsTogetherAreTheWhole) {
    const auto whole = open_database(region_->path("whole.sqlite"));
    std::map<std::int64_t, std::string> joined;
    std::map<std::string, std::int64_t> used;
    std::map<std::string, std::int64_t> rejected;
    const Lattice& lattice = whole->lattices().front();
    const int rows = last_tile(lattice).tile_row - first_tile(lattice).tile_row + 1;
    ASSERT_GT(rows, 5);
    const std::vector<std::pair<int, int>> shards{{0, 1}, {1, 4}, {4, rows}};
    for (const auto& [first, end] : shards) {
        build("shard.sqlite",
              {"--overwrite", "--tile-rows", std::to_string(first) + ":" + std::to_string(end)});
        const auto shard = open_database(region_->path("shard.sqlite"));
        EXPECT_EQ(shard->lattices(), whole->lattices());
        EXPECT_EQ(builder({"verify", region_->path("shard.sqlite")}).status, 0);
        for (auto& [key, data] : tiles_of(*shard)) {
            EXPECT_TRUE(joined.emplace(key, data).second) << "tile " << key << " twice";
        }
        const auto sources = shard->sources();
        ASSERT_TRUE(sources);
        for (const Source& source : *sources) {
            used[source.name] += source.values_used;
            for (const RejectedCount& count : source.rejected)
                rejected[source.name + count.rule] += count.count;
        }
    }
    EXPECT_EQ(joined, tiles_of(*whole));
    const auto sources = whole->sources();
    ASSERT_TRUE(sources);
    std::int64_t refused = 0;
    for (const Source& source : *sources) {
        EXPECT_EQ(used[source.name], source.values_used) << source.name;
        EXPECT_GT(source.values_used, 0);
        for (const RejectedCount& count : source.rejected) {
            EXPECT_EQ(rejected[source.name + count.rule], count.count) << source.name;
            refused += count.count;
        }
    }
    EXPECT_GT(refused, 20);
}

TEST_F(BuildDeterminism, TileRowsOutsideTheLatticeAreRefusedAtOnce) {
    const auto refused = [](const std::string& rows) {
        const ProgramRun run =
            builder({"build", *recipe_, "-o", region_->path("no.sqlite"), "--tile-rows", rows});
        EXPECT_EQ(run.status, 2) << rows << run.err;
        EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
        EXPECT_NE(run.err.find("--tile-rows"), std::string::npos) << run.err;
    };
    for (const char* rows : {"0:1000", "3:3", "4:2", "-1:2", "0", "0:", ":2", "a:b", "0:2:4", "0-2",
                             "1.5:2", "0:99999999999999999999"}) {
        refused(rows);
    }
    EXPECT_FALSE(std::filesystem::exists(region_->path("no.sqlite")));
}

// A shard may lie in the sea; it is a sound file all the same. A whole lattice may not.
TEST(Shards, AcceptsAShardWithoutPoints) {
    Region region;
    region.lattice = "spacing_arcsec = 1800\nbbox = [8.5, 43.5, 15.5, 50.5]\n";
    const RasterShape shape = north_up(8.0, 51.0, 0.5, 16, 16);
    using enum Variable;
    for (const Variable variable : {tmax, tmin, vapour_pressure, wind, radiation, rain}) {
        region.add_grid(variable, shape, [variable](LatLon at, int month) {
            return at.lat_deg < 49.0 ? std::nan("") : plain_climate(variable, at, month);
        });
    }
    const std::string recipe = region.write_recipe();
    const std::string shard = region.path("sea.sqlite");
    const ProgramRun run = builder({"build", recipe, "-o", shard, "--tile-rows", "0:1"});
    EXPECT_EQ(run.status, 0) << run.err;
    EXPECT_EQ(builder({"verify", shard}).status, 0);
    EXPECT_EQ(open_database(shard)->metadata("points"), "0");
    EXPECT_EQ(test::lookup({"site", "--db", shard, "--at", "44,9"}).status, 1);
}

}  // namespace
}  // namespace thirstline
