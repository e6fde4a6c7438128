// A build whose stations report reference ET themselves: the computed values move to theirs near
// them, and only there; a grid of ETo still wins.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/fusion_samples.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using test::builder;
using test::open_database;
using test::plain_climate;
using test::ProgramRun;
using test::Region;
using test::SeededRandom;
using test::stored_at;
using test::StoredPoint;
using test::write_text;

constexpr LatLon kNear{47.0, 11.0};
constexpr LatLon kFarStation{47.0, 19.0};
constexpr double kMore = 1.15;

RasterShape shape_of_reports() {
    return north_up(9.0, 50.0, 0.5, 24, 12);
}

std::unique_ptr<Region> plain_region() {
    auto region = std::make_unique<Region>();
    region->lattice = "spacing_arcsec = 1800\nbbox = [10.0, 46.0, 20.0, 48.0]\nreach_km = 50\n";
    region->set_elevation(shape_of_reports(), [](LatLon, int) { return 600.0; });
    region->add_plain_grids(shape_of_reports());
    return region;
}

/// Forty rows a month of ETo, that of the build without stations times kMore.
std::string reported_eto_table(const StoredPoint& computed) {
    SeededRandom random(11);
    std::string rows = "name,lat,lon,elevation,month,eto\n";
    for (int station = 0; station < 40; ++station) {
        const LatLon at{random.uniform(46.0, 48.0), random.uniform(10.2, 11.8)};
        const double share = kMore + 0.01 * random.normal();
        for (std::size_t month = 0; month < kMonths; ++month) {
            char row[160];
            std::snprintf(row, sizeof row, "Merrow %d,%.4f,%.4f,600,%zu,%.3f\n", station,
                          at.lat_deg, at.lon_deg, month + 1,
                          computed.eto_mm_per_day[month] * share);
            rows += row;
        }
    }
    return rows;
}

std::string eto_source(const std::string& reference) {
    return "[[stations]]\nname = \"ETo of the Merrow\"\npath = \"eto.csv\"\nlayout = \"long\"\n"
           "period = \"1991-2020\"\nlicence = \"CC0-1.0\"\nattribution = \"Merrow Weather Office "
           "(invented)\"\nreference = \"" +
           reference +
           "\"\nequation = \"ASCE-EWRI 2005\"\ncolumns = { name = \"name\", lat = \"lat\", lon = "
           "\"lon\", elevation = \"elevation\", month = \"month\", eto = \"eto\" }\n"
           "units = { eto = \"mm/day\" }\n";
}

TEST(ReportedEtoBuild, MovesTheComputedNearItsStations) {
    const auto region = plain_region();
    region->build("without.sqlite");
    const auto without = open_database(region->path("without.sqlite"));
    const StoredPoint computed = stored_at(*without, kNear);
    write_text(region->path("eto.csv"), reported_eto_table(computed));
    region->rest = eto_source("short");
    region->build("with.sqlite");
    const auto with = open_database(region->path("with.sqlite"));
    const StoredPoint near = stored_at(*with, kNear);
    const StoredPoint far = stored_at(*with, kFarStation);
    const StoredPoint far_computed = stored_at(*without, kFarStation);
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double eto = computed.eto_mm_per_day[month];
        EXPECT_NEAR(near.eto_mm_per_day[month], kMore * eto, 0.04 * eto + 0.02) << month;
        EXPECT_GE(near.eto_mm_per_day[month], eto);
        EXPECT_NEAR(far.eto_mm_per_day[month], far_computed.eto_mm_per_day[month], 0.011);
        // Rain and temperature are none of their business.
        EXPECT_EQ(near.rain_mm[month], computed.rain_mm[month]);
        EXPECT_EQ(near.tmax_c[month], computed.tmax_c[month]);
    }
}

TEST(ReportedEtoBuild, AGridOfEtoWins) {
    const auto region = plain_region();
    region->build("without.sqlite");
    const auto without = open_database(region->path("without.sqlite"));
    write_text(region->path("eto.csv"), reported_eto_table(stored_at(*without, kNear)));
    region->add_grid(Variable::eto, shape_of_reports(), test::plain(Variable::eto),
                     "reference = \"short\"\nequation = \"ASCE-EWRI 2005\"\n");
    region->rest = eto_source("short");
    region->build("with.sqlite");
    const auto with = open_database(region->path("with.sqlite"));
    const StoredPoint near = stored_at(*with, kNear);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_NEAR(near.eto_mm_per_day[static_cast<std::size_t>(month)],
                    plain_climate(Variable::eto, kNear, month), 0.0051);
    }
}

TEST(ReportedEtoBuild, OfAnotherReferenceSurfaceIsRefused) {
    const auto region = plain_region();
    write_text(region->path("eto.csv"), "name,lat,lon,elevation,month,eto\n");
    region->rest = eto_source("tall");
    const ProgramRun run =
        builder({"build", region->write_recipe(), "-o", region->path("out.sqlite")});
    EXPECT_EQ(run.status, 3);
    EXPECT_NE(run.err.find("reference"), std::string::npos) << run.err;
}

}  // namespace
}  // namespace thirstline
