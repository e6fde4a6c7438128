// The invented valley from its files to its answers, through both programs. The expected values are
// in sample-inputs/README.md.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::lookup;
using test::ProgramRun;

const std::string kRecipe = THIRSTLINE_SAMPLE_INPUTS "/merrow.toml";

class MerrowValley : public testing::Test {
  protected:
    // Not in SetUpTestSuite: what fails there skips the tests, and a skipped test is not a red one.
    void SetUp() override {
        if (folder_ == nullptr) build_valley();
    }
    static void build_valley() {
        folder_ = new TempFolder;
        database_ = new std::string(*folder_ / "merrow.sqlite");
        const ProgramRun run = builder({"build", kRecipe, "-o", *database_, "--report", report()});
        EXPECT_EQ(run.status, 0) << run.err;
    }
    static void TearDownTestSuite() {
        delete folder_;
        delete database_;
    }
    static std::string report() { return *folder_ / "report.json"; }
    static Json site(const std::string& code) {
        const ProgramRun run =
            lookup({"site", "--db", *database_, "--postal", code, "--format", "json"});
        EXPECT_EQ(run.err, "");
        return Json::parse(run.out);
    }
    static TempFolder* folder_;
    static std::string* database_;
};
TempFolder* MerrowValley::folder_ = nullptr;
std::string* MerrowValley::database_ = nullptr;

TEST_F(MerrowValley, IsWholeAndHasTheCountsOfItsDescription) {
    EXPECT_EQ(builder({"verify", *database_}).status, 0);
    EXPECT_EQ(lookup({"verify", "--db", *database_}).status, 0);
    const Json json = Json::parse(test::content_of(report()));
    EXPECT_EQ(json["lattice_points"], 1813);
    EXPECT_NEAR(json["points"].get<double>(), 1410, 30);
    EXPECT_EQ(json["postal"]["codes"], 12);
    EXPECT_EQ(json["warnings"].size(), 0U);
    for (const Json& source : json["sources"]) {
        EXPECT_TRUE(source["rejected"].empty()) << source;
        EXPECT_GT(source["used"].get<int>(), 0) << source;
    }
    const ProgramRun check = builder({"check", kRecipe, "--strict"});
    EXPECT_EQ(check.status, 0) << check.out << check.err;
}

struct Expected {
    const char* code;
    double height_m;
    double measured_mm;
    double corrected_mm;
    double rain_mm;
    int peak_month;
};

// The README's own figures come from a simple calculation with the nearest cells, rounded to 5 and
// 10 mm, and are said to hold within a few per cent: 4 % of ETo and 8 % of rain are allowed. Its
// heights are the places' own, those of an answer the mean of lattice points some 3 km apart.
constexpr Expected kPlaces[] = {
    {"04102", 420, 655, 655, 1590, 6},  {"04103", 790, 630, 630, 1440, 7},
    {"04104", 780, 635, 635, 1420, 7},  {"04105", 530, 965, 935, 320, 7},
    {"04107", 390, 1055, 1020, 220, 7}, {"04111", -40, 1040, 1025, 430, 7},
};

TEST_F(MerrowValley, PlacesAreAsDescribed) {
    for (const Expected& place : kPlaces) {
        const Json json = site(place.code);
        ASSERT_EQ(json["found"], true) << place.code;
        EXPECT_NEAR(json["point"]["elevation_m"].get<double>(), place.height_m,
                    place.height_m < 0 ? 10 : 80)
            << place.code;
        EXPECT_NEAR(json["annual"]["eto_mm"].get<double>(), place.corrected_mm,
                    0.04 * place.corrected_mm)
            << place.code;
        EXPECT_NEAR(json["annual"]["rain_mm"].get<double>(), place.rain_mm, 0.08 * place.rain_mm)
            << place.code;
        EXPECT_EQ(json["peak_month"], place.peak_month) << place.code;
        EXPECT_EQ(json["point"]["method"], "penman-monteith") << place.code;
        const Json& months = json["months"];
        const auto rain = [&](std::size_t month) { return months[month]["rain_mm"].get<double>(); };
        EXPECT_LT(rain(6), rain(0)) << place.code;
        for (const Json& month : months)
            EXPECT_GT(month["tmax_c"].get<double>(), month["tmin_c"].get<double>());
    }
    const Json valley = site("04107")["months"];
    EXPECT_NEAR(valley[6]["eto_mm"].get<double>(), 150, 8);
    EXPECT_NEAR(valley[0]["eto_mm"].get<double>(), 33, 5);
    EXPECT_NEAR(valley[6]["rain_mm"].get<double>(), 6, 2);
    const Json upland = site("04103")["months"];
    EXPECT_NEAR(upland[6]["eto_mm"].get<double>(), 95, 8);
    EXPECT_NEAR(upland[0]["eto_mm"].get<double>(), 22, 5);
    EXPECT_NEAR(upland[6]["rain_mm"].get<double>(), 70, 8);
}

TEST_F(MerrowValley, AsMeasuredItIsDrierInTheDryPlacesAlone) {
    std::string recipe = test::content_of(kRecipe);
    recipe.replace(recipe.find("site_correction = \"reference\""), 29,
                   "site_correction = \"none\"");
    const std::string inputs = THIRSTLINE_SAMPLE_INPUTS;
    for (std::size_t at = 0; (at = recipe.find("\npath = \"", at)) != std::string::npos;) {
        at += 9;
        const std::string archive = "/vsizip/";
        if (recipe.compare(at, archive.size(), archive) == 0) at += archive.size();
        recipe.insert(at, inputs + "/");
    }
    test::write_text(*folder_ / "measured.toml", recipe);
    const std::string measured = *folder_ / "measured.sqlite";
    const ProgramRun run = builder({"build", *folder_ / "measured.toml", "-o", measured});
    ASSERT_EQ(run.status, 0) << run.err;
    for (const Expected& place : kPlaces) {
        const double with = site(place.code)["annual"]["eto_mm"];
        const Json json = Json::parse(
            lookup({"site", "--db", measured, "--postal", place.code, "--format", "json"}).out);
        const double without = json["annual"]["eto_mm"];
        EXPECT_NEAR(without, place.measured_mm, 0.04 * place.measured_mm) << place.code;
        EXPECT_NEAR(without - with, place.measured_mm - place.corrected_mm, 12) << place.code;
        EXPECT_EQ(json["months"][6]["tmax_c"], site(place.code)["months"][6]["tmax_c"]);
    }
}

TEST_F(MerrowValley, TheIsleIsAMiss) {
    const ProgramRun run =
        lookup({"site", "--db", *database_, "--postal", "04112", "--format", "json"});
    EXPECT_EQ(run.status, 1);
    const Json json = Json::parse(run.out);
    EXPECT_EQ(json["found"], false);
    EXPECT_EQ(json["query"]["postal"], "04112");
    EXPECT_NE(json["reason"].get<std::string>().find("10 km"), std::string::npos);
}

TEST_F(MerrowValley, TheShoreIsAnsweredFromAdjacentPoints) {
    const Json json = site("04101");
    EXPECT_EQ(json["found"], true);
    EXPECT_LE(json["point"]["distance_km"].get<double>(), 10.0);
    EXPECT_GE(json["point"]["elevation_m"].get<double>(), 0.0);
}

TEST_F(MerrowValley, NoDepthOfTheSeaShows) {
    const auto database = test::open_database(*database_);
    const Lattice& lattice = database->lattices().front();
    double lowest = 0.0;
    for (int row = 0; row < lattice.rows; ++row) {
        for (int column = 0; column < lattice.columns; ++column) {
            const test::StoredPoint point = test::stored_at(*database, LatticePoint{row, column});
            if (!point.present) continue;
            const LatLon at = position_of(lattice, {row, column});
            EXPECT_GE(point.elevation_m, at.lon_deg > -37.5 ? -45.0 : 0.0) << at.lat_deg;
            lowest = std::min(lowest, point.elevation_m);
        }
    }
    EXPECT_LE(lowest, -35.0);
}

TEST_F(MerrowValley, BuildsTheSameBytesAgain) {
    const std::string again = *folder_ / "again.sqlite";
    ASSERT_EQ(builder({"build", kRecipe, "-o", again, "--jobs", "3"}).status, 0);
    EXPECT_EQ(test::content_of(again), test::content_of(*database_));
}

TEST_F(MerrowValley, EverySourceIsNamedWithItsTerms) {
    const Json sources = site("04107")["sources"];
    EXPECT_EQ(sources.size(), 7U);  // six grids, and the district's stations
    for (const Json& source : sources) {
        EXPECT_EQ(source["period"], "1991-2020");
        EXPECT_EQ(source["licence"], "CC0-1.0");
        const std::string attribution = source["attribution"];
        EXPECT_TRUE(attribution == "Merrow Weather Office (invented)" ||
                    attribution == "Merrow Valley Water District (invented)")
            << attribution;
    }
}

}  // namespace
}  // namespace thirstline
