// A whole build with stations: the Merrow valley, whose stations stand in its west and find more
// rain than the grids, the more the higher they stand.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tests/support/fusion_samples.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using nlohmann::json;
using test::builder;
using test::content_of;
using test::lookup;
using test::open_database;
using test::plain_climate;
using test::ProgramRun;
using test::Region;
using test::SeededRandom;
using test::write_text;

constexpr LatLon kWest{47.0, 11.0};
constexpr LatLon kEast{47.0, 13.5};

double terrain_m(LatLon at) {
    return 600.0 + 400.0 * std::sin(at.lat_deg * 9.0) * std::cos(at.lon_deg * 11.0);
}

/// Sixty rows a month of Tmax, Tmin and rain.
std::string station_table() {
    SeededRandom random(101);
    std::string rows = "name,lat,lon,elevation,month,tmax,tmin,rain\n";
    for (int station = 0; station < 60; ++station) {
        const LatLon at{random.uniform(46.0, 48.0), random.uniform(10.5, 11.6)};
        const double z = terrain_m(at) + random.uniform(-100.0, 100.0);
        const double warmer = 1.0 + 0.3 * random.normal();
        const double wetter = 1.1 + 0.02 * random.normal();
        for (int month = 0; month < kMonths; ++month) {
            const double lapse = (z - 600.0) / 1000.0;
            const auto value = [&](Variable variable) {
                return plain_climate(variable, at, month);
            };
            char row[200];
            std::snprintf(row, sizeof row, "Merrow %d,%.4f,%.4f,%.0f,%d,%.2f,%.2f,%.1f\n", station,
                          at.lat_deg, at.lon_deg, z, month + 1,
                          value(Variable::tmax) - 6.5 * lapse + warmer + 0.2 * random.normal(),
                          value(Variable::tmin) - 4.5 * lapse + warmer + 0.2 * random.normal(),
                          value(Variable::rain) * (wetter + 0.6 * lapse) + random.normal());
            rows += row;
        }
    }
    return rows;
}

class FusedBuild : public testing::Test {
  protected:
    // Not in SetUpTestSuite: what fails there skips the tests, and a skipped test is not a red one.
    void SetUp() override {
        if (region_ != nullptr) return;
        region_ = std::make_unique<Region>();
        region_->set_elevation(north_up(9.0, 50.0, 0.05, 120, 120),
                               [](LatLon at, int) { return terrain_m(at); });
        region_->add_plain_grids(north_up(9.0, 50.0, 0.5, 12, 12));
        write_text(region_->path("stations.csv"), station_table());
        region_->rest =
            "[[stations]]\nname = \"Stations of the Merrow\"\npath = \"stations.csv\"\n"
            "layout = \"long\"\nperiod = \"1991-2020\"\nlicence = \"CC0-1.0\"\n"
            "attribution = \"Merrow Weather Office (invented)\"\n"
            "columns = { name = \"name\", lat = \"lat\", lon = \"lon\", elevation = \"elevation\", "
            "month = \"month\", tmax = \"tmax\", tmin = \"tmin\", rain = \"rain\" }\n"
            "units = { tmax = \"degC\", tmin = \"degC\", rain = \"mm\" }\n";
        build("merrow.sqlite", "1");
    }
    static void TearDownTestSuite() { region_.reset(); }

    static void build(const std::string& name, const std::string& jobs) {
        const ProgramRun run =
            builder({"build", region_->write_recipe(), "-o", region_->path(name), "--jobs", jobs});
        ASSERT_EQ(run.status, 0) << run.err;
    }

    static json site(LatLon at, const std::vector<std::string>& more = {}) {
        std::vector<std::string> arguments{
            "site",
            "--db",
            region_->path("merrow.sqlite"),
            "--at",
            std::to_string(at.lat_deg) + "," + std::to_string(at.lon_deg),
            "--format",
            "json"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const ProgramRun run = lookup(arguments);
        EXPECT_EQ(run.status, 0) << run.err;
        return json::parse(run.out);
    }

    static inline std::unique_ptr<Region> region_;
};

double of_month(const json& site, std::size_t month, const char* key) {
    return site.at("months").at(month).at(key).get<double>();
}

TEST_F(FusedBuild, StoresErrorsAndTheGradientOfRain) {
    const auto database = open_database(region_->path("merrow.sqlite"));
    for (const LayerId id : {LayerId::eto_se, LayerId::rain_se, LayerId::rain_gradient})
        EXPECT_NE(database->layout().find(id), nullptr);
}

TEST_F(FusedBuild, PutsTheGridsRightNearStations) {
    const json west = site(kWest);
    const double rise_km = (west.at("point").at("elevation_m").get<double>() - 600.0) / 1000.0;
    const double stations_tmax = plain_climate(Variable::tmax, kWest, 6) - 6.5 * rise_km + 1.0;
    const double stations_rain = plain_climate(Variable::rain, kWest, 6) * (1.1 + 0.6 * rise_km);
    EXPECT_NEAR(of_month(west, 6, "tmax_c"), stations_tmax, 0.5);
    EXPECT_NEAR(of_month(west, 6, "rain_mm"), stations_rain, 0.08 * stations_rain);
}

TEST_F(FusedBuild, ErrsLessNearStations) {
    const json west = site(kWest);
    const json east = site(kEast);
    double rain_of_west = 0.0;
    double rain_of_east = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        EXPECT_GT(of_month(west, month, "rain_se_mm"), 0.0);
        EXPECT_GE(of_month(east, month, "rain_se_mm"), of_month(west, month, "rain_se_mm"));
        rain_of_west += of_month(west, month, "rain_se_mm");
        rain_of_east += of_month(east, month, "rain_se_mm");
        EXPECT_GT(of_month(west, month, "eto_se_mm"), 0.0);
    }
    EXPECT_GT(rain_of_east, 1.05 * rain_of_west);
    EXPECT_GT(of_month(east, 6, "eto_se_mm"), of_month(west, 6, "eto_se_mm"));
}

/// Built again, and by several at once.
TEST_F(FusedBuild, IsTheSameToTheByteHoweverManyWork) {
    const std::string once = content_of(region_->path("merrow.sqlite"));
    for (const std::string jobs : {"1", "3"}) {
        build("again" + jobs + ".sqlite", jobs);
        EXPECT_TRUE(content_of(region_->path("again" + jobs + ".sqlite")) == once) << jobs;
    }
}

TEST_F(FusedBuild, ReportsStationsUsedAndTheirRecordLengths) {
    const ProgramRun run =
        builder({"build", region_->write_recipe(), "-o", region_->path("reported.sqlite"),
                 "--report", region_->path("report.json")});
    ASSERT_EQ(run.status, 0) << run.err;
    const json report = json::parse(content_of(region_->path("report.json")));
    const json& source = report.at("sources").back();
    EXPECT_EQ(source.at("name"), "Stations of the Merrow");
    EXPECT_EQ(source.at("stations"), 60);
    // Three variables each; the table states no years.
    EXPECT_EQ(source.at("normals_by_record_length").at("length of record not stated"), 180);
    EXPECT_EQ(source.at("normals_by_record_length").at("short record"), 0);
}

TEST_F(FusedBuild, ShowsTheErrors) {
    const std::string at = std::to_string(kWest.lat_deg) + "," + std::to_string(kWest.lon_deg);
    const ProgramRun run =
        lookup({"site", "--db", region_->path("merrow.sqlite"), "--at", at, "--units", "metric"});
    ASSERT_EQ(run.status, 0) << run.err;
    // In the C locale ± is two signs.
    EXPECT_NE(run.out.find("+-"), std::string::npos) << run.out;
    const ProgramRun csv =
        lookup({"site", "--db", region_->path("merrow.sqlite"), "--at", at, "--format", "csv"});
    EXPECT_NE(csv.out.find("eto_se_mm"), std::string::npos) << csv.out;
    EXPECT_NE(csv.out.find("rain_se_mm"), std::string::npos) << csv.out;
}

TEST_F(FusedBuild, AdjustsRainByTheTilesGradient) {
    const auto database = open_database(region_->path("merrow.sqlite"));
    const Lattice& lattice = database->lattices().front();
    const LatticePoint point{3, 1};  // kWest
    ASSERT_EQ(position_of(lattice, point), kWest);
    const auto tile = database->tile(lattice, tile_of(lattice, point));
    ASSERT_TRUE(tile && *tile != nullptr);
    const Layer* layer = database->layout().find(LayerId::rain_gradient);
    const json own = site(kWest);
    const double elevation_m = own.at("point").at("elevation_m").get<double>();
    const json higher = site(kWest, {"--elevation", std::to_string(elevation_m + 500.0)});
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double share_per_km =
            static_cast<double>((*tile)->of(LayerId::rain_gradient)[month]) / layer->divisor;
        // The stations' 0.6 a km over 1.1, drawn towards none as all kriging is.
        EXPECT_GT(share_per_km, 0.1);
        EXPECT_LT(share_per_km, 0.6);
        const double rain = of_month(own, month, "rain_mm");
        EXPECT_NEAR(of_month(higher, month, "rain_mm"), rain * std::exp(0.5 * share_per_km),
                    0.1 + 0.001 * rain);
        // The error grows with the rain, and by 15 % of it a km besides.
        EXPECT_GT(of_month(higher, month, "rain_se_mm"), 1.01 * of_month(own, month, "rain_se_mm"));
    }
    // As far as values are carried, rain stays within a quarter and four times.
    const json high = site(kWest, {"--elevation", std::to_string(elevation_m + 1400.0)});
    const json deep = site(kWest, {"--elevation", "-400"});
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double rain = of_month(own, month, "rain_mm");
        EXPECT_GT(of_month(deep, month, "rain_mm"), 0.25 * rain);
        EXPECT_LT(of_month(high, month, "rain_mm"), 4.0 * rain);
    }
    const ProgramRun beyond = lookup(
        {"site", "--db", region_->path("merrow.sqlite"), "--at", "47,11", "--elevation", "8000m"});
    EXPECT_EQ(beyond.status, 2);
    EXPECT_NE(beyond.err.find("maximum adjustment is 1500 m"), std::string::npos) << beyond.err;
}

}  // namespace
}  // namespace thirstline
