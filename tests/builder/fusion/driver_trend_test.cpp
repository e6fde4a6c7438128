#include "builder/fusion/driver_trend.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::SeededRandom;

double plane(LatLon at, double lon_from, double elevation_m, std::size_t month) {
    return 20.0 + static_cast<double>(month) - 0.6 * at.lat_deg +
           0.2 * normalised_lon_deg(at.lon_deg - lon_from) - 5.5 * elevation_m / 1000.0;
}

std::vector<TrendStation> on_a_plane(std::size_t count, double west_deg) {
    SeededRandom random(17);
    std::vector<TrendStation> stations;
    for (const auto& known : test::scattered_stations(count, {}, random)) {
        TrendStation station{known.site.position, known.site.elevation_m, {}};
        station.position.lon_deg = normalised_lon_deg(station.position.lon_deg - 5.0 + west_deg);
        for (std::size_t month = 0; month < kMonths; ++month)
            station.values[month] = plane(station.position, west_deg, station.elevation_m, month);
        stations.push_back(station);
    }
    return stations;
}

TEST(DriverTrend, FindsAPlane) {
    for (const double west_deg : {5.0, 172.0}) {  // the second lies across the antimeridian
        const DriverTrend trend(on_a_plane(25, west_deg));
        for (const double east : {0.0, 6.0, 12.9}) {
            const LatLon at{44.4, normalised_lon_deg(west_deg + east)};
            const Monthly<double> values = trend.at(at, 700.0);
            for (std::size_t month = 0; month < kMonths; ++month)
                EXPECT_NEAR(values[month], plane(at, west_deg, 700.0, month), 1e-9);
        }
    }
}

TEST(DriverTrend, TakesALineInElevationFromSixStationsAndTheMeanOfFewer) {
    std::vector<TrendStation> stations = on_a_plane(19, 5.0);
    for (TrendStation& station : stations)
        station.values = test::every_month(18.0 - 6.0 * station.elevation_m / 1000.0);
    const DriverTrend line(stations);
    EXPECT_NEAR(line.at({10.0, 80.0}, 1000.0)[3], 12.0, 1e-9);
    stations.resize(5);
    double mean = 0.0;
    for (const TrendStation& station : stations) mean += station.values[0] / 5.0;
    EXPECT_NEAR(DriverTrend(stations).at({10.0, 80.0}, 1000.0)[3], mean, 1e-9);
    EXPECT_TRUE(std::isnan(DriverTrend({}).at({45.0, 8.0}, 100.0)[0]));
}

/// Stations that stand on one spot, or all at one height, tell no slope.
TEST(DriverTrend, ToleratesStationsWithoutASlope) {
    std::vector<TrendStation> stations = on_a_plane(25, 5.0);
    for (TrendStation& station : stations) {
        station.position = {45.0, 8.0};
        station.elevation_m = 200.0;
        station.values = test::every_month(7.0);
    }
    EXPECT_NEAR(DriverTrend(stations).at({45.0, 8.0}, 200.0)[6], 7.0, 1e-9);
    EXPECT_TRUE(std::isfinite(DriverTrend(stations).at({45.5, 8.5}, 900.0)[6]));
}

}  // namespace
}  // namespace thirstline
