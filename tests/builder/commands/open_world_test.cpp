// The whole world from open data: CRU CL 1.0, 1961–1990 (New, Hulme and Jones 1999, J. Climate 12,
// 829), ETOPO5 and US postal codes. Skipped if the data are not available in the folder named by
// THIRSTLINE_OPEN_DATA.
//
// The ranges for places are wide, from general knowledge of their climates (from memory): they
// detect a wrong unit, a shifted grid or a swapped axis, not an error of a percent.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "schema/database/sqlite_handles.hpp"
#include "schema/tile_code/tile_codec.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/open_climate.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::lookup;
using test::ProgramRun;

std::string world_recipe(const std::string& data) {
    std::string text =
        "[baseline]\ntitle = \"World 1961-1990\"\nregion = \"world\"\nperiod = \"1961-1990\"\n"
        "[lattice]\nspacing_arcsec = 1800\nbbox = [-180, -90, 180, 90]\nreach_km = 50\n" +
        test::open_grids(data);
    text += "[[postal]]\ncountry = \"US\"\npath = \"" + data +
            "/postal/2021_zcta_centroids.csv\"\nlayout = \"csv\"\n"
            "columns = { code = \"zcta\", lat = \"lat\", lon = \"lon\" }\n"
            "[[postal]]\ncountry = \"US\"\npath = \"/vsigzip/" +
            data +
            "/postal/geonames_US.txt.gz\"\nlayout = \"geonames\"\n[output]\ncode = \"compact\"\n";
    return text;
}

class OpenWorld : public testing::Test {
  protected:
    // Not in SetUpTestSuite: what fails there skips the tests, and a skipped test is not a red one.
    void SetUp() override {
        const std::string data =
            test::open_data_folder({"cru-cl1-1961-1990", "elevation", "postal"});
        if (data.empty()) GTEST_SKIP() << test::kNoOpenData;
        if (folder_ == nullptr) build_world(data);
        report_ = Json::parse(test::content_of(*folder_ / "report.json"));
    }
    static void build_world(const std::string& data) {
        folder_ = new TempFolder;
        test::write_text(*folder_ / "world.toml", world_recipe(data));
        const ProgramRun run =
            builder({"build", *folder_ / "world.toml", "-o", *folder_ / "world.sqlite", "--report",
                     *folder_ / "report.json"});
        EXPECT_EQ(run.status, 0) << run.err;
    }
    static void TearDownTestSuite() { delete folder_; }
    static Json site(const std::vector<std::string>& where) {
        std::vector<std::string> arguments{"site", "--db", *folder_ / "world.sqlite", "--format",
                                           "json"};
        arguments.insert(arguments.end(), where.begin(), where.end());
        return Json::parse(lookup(arguments).out);
    }
    static TempFolder* folder_;
    Json report_;
};
TempFolder* OpenWorld::folder_ = nullptr;

TEST_F(OpenWorld, IsWholeAndHasTheLandOfTheEarth) {
    EXPECT_EQ(builder({"verify", *folder_ / "world.sqlite"}).status, 0);
    EXPECT_EQ(report_["lattice_points"], 720 * 361);
    // The climatology's 67,420 cells of land, Antarctica left out (a number often given for it,
    // from memory): a lattice point lies in the corner of each.
    EXPECT_NEAR(report_["points"].get<double>(), 67'420, 100);
#ifndef __SANITIZE_ADDRESS__  // which keeps a shadow of all memory
    for (const Json& stage : report_["stages"]) EXPECT_LT(stage["peak_memory_mb"], 300.0);
#endif
}

// Some cells of this wind grid are negative, which is no wind: they are counted, and where they
// stand the wind comes from nearby.
TEST_F(OpenWorld, NegativeWindIsCountedAndNotUsed) {
    const Json& wind = report_["sources"][3];
    ASSERT_EQ(wind["variable"], "wind");
    EXPECT_GT(wind["rejected"]["negative wind"], 0);
    ASSERT_FALSE(wind["examples"].empty());
    const auto database = test::open_database(*folder_ / "world.sqlite");
    int looked_at = 0;
    for (const Json& example : wind["examples"]) {
        if (example["rule"] != "negative wind") continue;
        EXPECT_TRUE(example["value"].get<std::string>().starts_with("-")) << example;
        // Lattice points lie on the corners of this grid's cells; the south-west one belongs to it.
        const test::StoredPoint point = test::stored_at(
            *database,
            LatLon{example["lat"].get<double>() - 0.25, example["lon"].get<double>() - 0.25});
        if (!point.present) continue;
        ++looked_at;
        const auto month = static_cast<std::size_t>(example["month"].get<int>() - 1);
        EXPECT_NE(method_of_code(point.method_code[month]).wind, WindFrom::given) << example;
    }
    EXPECT_GT(looked_at, 0);
    for (const Json& source : report_["sources"]) {
        if (source["variable"] != "wind" && source["variable"] != "postal") {
            for (const auto& [rule, count] : source["rejected"].items())
                EXPECT_EQ(rule.find("outside the plausible range"), std::string::npos)
                    << source["name"];
        }
    }
}

TEST_F(OpenWorld, HoldsEveryUsPostalCodeOfBothTables) {
    EXPECT_GT(report_["postal"]["codes"], 41'000);
    EXPECT_LT(report_["postal"]["codes"], 43'500);
    const Json json = site({"--postal", "97401"});  // Eugene, Oregon
    EXPECT_EQ(json["found"], true);
    EXPECT_NEAR(json["query"]["lat"].get<double>(), 44.07, 0.1);
    EXPECT_NEAR(json["query"]["lon"].get<double>(), -123.08, 0.1);
    EXPECT_EQ(site({"--postal", "00601"})["found"], true);  // Adjuntas, Puerto Rico: leading zeros
}

TEST_F(OpenWorld, Codec1RestoresEveryTile) {
    const auto database = test::open_database(*folder_ / "world.sqlite");
    const TileLayout& layout = database->layout();
    auto rows = SqliteStatement::prepare(database->connection(),
                                         "SELECT tile_key, codec, data FROM tile", "the world");
    ASSERT_TRUE(rows.has_value());
    int tiles = 0, written_predictively = 0;
    std::size_t coded_bytes = 0, plain_bytes = 0;
    while (*rows->step()) {
        const auto codec = static_cast<int>(rows->integer(1));
        const auto data = rows->blob(2);
        const auto tile = decode_tile(codec, layout, data);
        ASSERT_TRUE(tile.has_value()) << rows->integer(0) << ": " << tile.error().message;
        const auto coded = encode_tile(kCodecPredictive, layout, *tile);
        ASSERT_TRUE(coded.has_value());
        const auto back = decode_tile(kCodecPredictive, layout, *coded);
        ASSERT_TRUE(back.has_value()) << rows->integer(0) << ": " << back.error().message;
        ASSERT_EQ(*back, *tile) << rows->integer(0);
        if (codec == kCodecPredictive) {
            ASSERT_TRUE(std::equal(data.begin(), data.end(), coded->begin(), coded->end()));
            ++written_predictively;
        }
        ++tiles;
        coded_bytes += coded->size();
        plain_bytes += encode_tile(kCodecPlain, layout, *tile)->size();
    }
    EXPECT_GT(tiles, 400);
    EXPECT_EQ(written_predictively, tiles);
    EXPECT_LT(coded_bytes * 4, plain_bytes);
}

struct Place {
    const char* name;
    const char* at;
    double least_eto_mm;
    double most_eto_mm;
    double least_rain_mm;
    double most_rain_mm;
    std::vector<int> peak_months;
};

TEST_F(OpenWorld, PlacesArePlausible) {
    const std::vector<Place> places{
        {"Eugene, Oregon", "44.05,-123.09", 700, 1150, 900, 1700, {7}},
        {"Phoenix, Arizona", "33.45,-112.07", 1400, 2200, 130, 350, {6, 7}},
        {"Miami, Florida", "25.80,-80.30", 1200, 1750, 1100, 1700, {4, 5, 6, 7}},
        {"Fresno, California", "36.75,-119.77", 1100, 1750, 180, 500, {6, 7}},
        {"London", "51.50,-0.12", 480, 800, 500, 850, {6, 7}},
        {"Cairo", "30.05,31.25", 1300, 2300, 0, 80, {5, 6, 7}},
        {"Manaus", "-3.10,-60.00", 1000, 1700, 1700, 2800, {8, 9, 10, 11}},
        {"Alice Springs", "-23.70,133.88", 1500, 2500, 150, 450, {12, 1, 11}},
        {"Reykjavik", "64.10,-21.90", 250, 650, 500, 1500, {6, 7}},
        {"Yakutsk", "62.03,129.73", 250, 650, 150, 350, {6, 7}},
        {"Jericho, below the sea", "31.85,35.45", 1000, 2000, 50, 650, {6, 7, 8}},
        {"Lhasa", "29.65,91.10", 700, 1400, 200, 700, {4, 5, 6}},
    };
    for (const Place& place : places) {
        const Json json = site({std::string("--at=") + place.at});
        ASSERT_EQ(json["found"], true) << place.name;
        const double eto = json["annual"]["eto_mm"];
        const double rain = json["annual"]["rain_mm"];
        EXPECT_GT(eto, place.least_eto_mm) << place.name;
        EXPECT_LT(eto, place.most_eto_mm) << place.name;
        EXPECT_GE(rain, place.least_rain_mm) << place.name;
        EXPECT_LT(rain, place.most_rain_mm) << place.name;
        const int peak = json["peak_month"];
        EXPECT_NE(std::find(place.peak_months.begin(), place.peak_months.end(), peak),
                  place.peak_months.end())
            << place.name << " in month " << peak;
    }
}

TEST_F(OpenWorld, TheOpenSeaIsAMissAndNoDepthShows) {
    EXPECT_EQ(site({"--at=30,-40"})["found"], false);
    const auto database = test::open_database(*folder_ / "world.sqlite");
    const Lattice& lattice = database->lattices().front();
    int points = 0;
    for (int row = 0; row < lattice.rows; ++row) {
        for (int column = 0; column < lattice.columns; ++column) {
            const test::StoredPoint point = test::stored_at(*database, LatticePoint{row, column});
            if (!point.present) continue;
            ++points;
            ASSERT_GE(point.elevation_m, -430.0);
            for (std::size_t month = 0; month < kMonths; ++month) {
                ASSERT_GE(point.eto_mm_per_day[month], 0.0);
                ASSERT_LT(point.eto_mm_per_day[month], 20.0);
                ASSERT_GT(point.tmax_c[month], point.tmin_c[month] - 0.11);
            }
        }
    }
    EXPECT_EQ(report_["points"], points);
}

}  // namespace
}  // namespace thirstline
