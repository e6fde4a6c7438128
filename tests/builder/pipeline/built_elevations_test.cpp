// Elevations of a finished build: where they come from, where the sea is, and what they do to
// temperature.
#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/monthly_reference_et.hpp"
#include "tests/support/invented_region.hpp"

namespace thirstline {
namespace {

using test::open_database;
using test::plain_climate;
using test::Region;
using test::stored_at;
using test::StoredPoint;

double share_of_cell(double degrees) {
    return degrees - std::floor(degrees);
}

/// Plateaus of 1000 m in the middle of every degree, a quarter of its area, and 0 around them.
double plateaus_m(LatLon at, int /*month*/) {
    const bool on_top = std::abs(share_of_cell(at.lat_deg) - 0.5) < 0.25 &&
                        std::abs(share_of_cell(at.lon_deg) - 0.5) < 0.25;
    return on_top ? 1000.0 : 0.0;
}

// The cells' mean elevation is 250 m by the plateaus' area, and the lapse rates are those of
// science.md: a point on top stands 750 m above its cell, one between the plateaus 250 m below.
TEST(BuiltElevations, TemperatureFollowsTheLapseRatesFromTheCellsMean) {
    Region region;
    region.set_elevation(north_up(8.0, 51.0, 0.025, 320, 320), plateaus_m);
    region.add_plain_grids(north_up(8.0, 51.0, 1.0, 8, 8));
    region.build();
    const auto database = open_database(region.path("out.sqlite"));
    const LatLon top{46.5, 11.5};
    const LatLon foot{46.0, 11.0};
    const StoredPoint above = stored_at(*database, top);
    const StoredPoint below = stored_at(*database, foot);
    EXPECT_EQ(above.elevation_m, 1000.0);
    EXPECT_EQ(below.elevation_m, 0.0);
    for (int month = 0; month < kMonths; ++month) {
        const auto m = static_cast<std::size_t>(month);
        const double tmax = plain_climate(Variable::tmax, top, month);
        const double tmin = plain_climate(Variable::tmin, top, month);
        EXPECT_NEAR(above.tmax_c[m], tmax - 6.5 * 0.75, 0.051);
        EXPECT_NEAR(above.tmin_c[m], tmin - 4.5 * 0.75, 0.051);
        EXPECT_NEAR(below.tmax_c[m], tmax + 6.5 * 0.25, 0.051);
        EXPECT_NEAR(below.tmin_c[m], tmin + 4.5 * 0.25, 0.051);
        EXPECT_EQ(above.rain_mm[m], below.rain_mm[m]);
    }
}

// Vapour pressure is not stored, but ETo tells: it is that of a climate carried as a whole.
TEST(BuiltElevations, AdjustsVapourPressureWithTemperature) {
    Region region;
    region.baseline = "site_correction = \"none\"\n";
    region.set_elevation(north_up(8.0, 51.0, 0.025, 320, 320), plateaus_m);
    region.add_plain_grids(north_up(8.0, 51.0, 1.0, 8, 8));
    region.build();
    const auto database = open_database(region.path("out.sqlite"));
    const LatLon top{46.5, 11.5};
    const StoredPoint stored = stored_at(*database, top);

    const LapseRates rates = default_lapse_rates(top.lat_deg);
    PointClimate climate;
    climate.position = top;
    climate.elevation_m = 1000.0;
    for (int month = 0; month < kMonths; ++month) {
        const auto m = static_cast<std::size_t>(month);
        climate.tmax_c[m] = plain_climate(Variable::tmax, top, month) - 6.5 * 0.75;
        climate.tmin_c[m] = plain_climate(Variable::tmin, top, month) - 4.5 * 0.75;
        climate.vapour_pressure_kpa[m] = plain_climate(Variable::vapour_pressure, top, month) *
                                         std::exp(-0.75 * rates.vapour_pressure_per_km[m]);
        climate.u2_m_per_s[m] = 3.0 * 4.87 / std::log(67.8 * 10.0 - 5.42);  // FAO-56 eq. 47
        climate.rs_mj_m2_day[m] = plain_climate(Variable::radiation, top, month);
    }
    const ReferenceEtProfile expected = reference_et_profile(
        climate, monthly_sun(top.lat_deg), {}, {ReferenceSurface::short_reference, false});
    for (std::size_t month = 0; month < kMonths; ++month)
        EXPECT_NEAR(stored.eto_mm_per_day[month], expected.eto_mm_per_day[month], 0.0051) << month;
}

// A sea of 3000 m in the west, a shore that the elevation grid takes for shallow water, and inland
// a basin as deep as land goes.
TEST(BuiltElevations, NoDepthOfTheSeaShowsAndLandBelowItStays) {
    Region region;
    region.lattice = "spacing_arcsec = 1800\nbbox = [10.5, 45.5, 16.5, 48.5]\n";
    const auto relief = [](LatLon at, int) {
        if (at.lon_deg < 12.0) return -3000.0;
        if (at.lon_deg < 13.0) return -50.0;
        return at.lon_deg >= 14.0 && at.lon_deg < 15.0 ? -430.0 : 200.0;
    };
    region.set_elevation(north_up(6.0, 53.0, 0.05, 280, 280), relief);
    const RasterShape shape = north_up(8.0, 51.0, 1.0, 12, 10);
    using enum Variable;
    for (const Variable variable : {tmax, tmin, vapour_pressure, wind, radiation, rain}) {
        region.add_grid(variable, shape, [variable](LatLon at, int month) {
            return at.lon_deg < 12.0 ? std::nan("") : plain_climate(variable, at, month);
        });
    }
    const BuildOutcome outcome = region.build();
    const auto database = open_database(region.path("out.sqlite"));
    int points = 0;
    for (double lat = 45.5; lat <= 48.5; lat += 0.5) {
        for (double lon = 10.5; lon <= 16.5; lon += 0.5) {
            const StoredPoint point = stored_at(*database, LatLon{lat, lon});
            EXPECT_EQ(point.present, lon >= 12.0) << lon;
            if (!point.present) continue;
            ++points;
            if (lon < 13.0) {
                EXPECT_EQ(point.elevation_m, 0.0) << lon;
            }
            if (lon == 14.5) {
                EXPECT_EQ(point.elevation_m, -430.0);
                // The cell lies there too, so nothing is carried.
                EXPECT_NEAR(point.tmax_c[0], plain_climate(tmax, {lat, lon}, 0), 0.051);
            }
            if (lon > 15.0) {
                EXPECT_EQ(point.elevation_m, 200.0) << lon;
            }
        }
    }
    EXPECT_EQ(outcome.totals.points, points);
    EXPECT_EQ(outcome.totals.incomplete_points, 0);
}

TEST(BuiltElevations, WhereElevationIsUnknownNoEtoIsMade) {
    Region region;
    region.set_elevation(north_up(8.0, 51.0, 0.5, 10, 16),
                         test::plain(Variable::elevation));  // to 13° E
    region.add_plain_grids(north_up(8.0, 51.0, 1.0, 8, 8));
    const BuildOutcome outcome = region.build();
    EXPECT_GT(outcome.totals.incomplete_points, 0);
    EXPECT_EQ(outcome.totals.points + outcome.totals.incomplete_points, 49);
    const auto database = open_database(region.path("out.sqlite"));
    EXPECT_TRUE(stored_at(*database, LatLon{46.5, 12.5}).present);
    EXPECT_FALSE(stored_at(*database, LatLon{46.5, 13.5}).present);
}

}  // namespace
}  // namespace thirstline
