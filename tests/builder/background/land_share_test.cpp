// Shares of land against the closed form for a straight coast: with normal weights of standard
// deviation s the share at a distance x inland is Φ(x/s); ended at 2.5 s on both sides, it is
// (Φ(x/s) − Φ(−2.5)) / (Φ(2.5) − Φ(−2.5)).
#include "builder/background/land_share.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>

#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

constexpr double kKmPerDegree = 111.195;

double normal_below(double x) {
    return 0.5 * std::erfc(-x / std::numbers::sqrt2);
}

double share_at_straight_coast(double km_inland) {
    const double least = normal_below(-2.5);
    const double below = normal_below(std::clamp(km_inland / 9.0, -2.5, 2.5));
    return (below - least) / (1.0 - 2.0 * least);
}

class LandShare : public testing::Test {
  protected:
    /// Land in the pixels whose centre is in it, as a fine terrain model.
    std::unique_ptr<Grid> terrain(const RasterShape& shape,
                                  const std::function<double(LatLon)>& elevation_m) {
        const std::string path = folder_.numbered("terrain", files_++, ".tif");
        write_raster(path, shape, 1,
                     at_cell_centres(shape, [&](LatLon at, int) { return elevation_m(at); }));
        return opened(spec_of(Variable::elevation, "m", path));
    }
    double share_of(Grid& grid, LatLon place) { return land_shares_at(grid, {place})->front(); }

    TempFolder folder_;
    int files_ = 0;
};

TEST_F(LandShare, IsTheNormalIntegralAtAStraightCoast) {
    for (const double lat_deg : {0.0, 45.0, 60.0, 78.0}) {
        const RasterShape shape = north_up(9.0, lat_deg + 1.0, 0.01, 300, 200);
        const auto east_is_land =
            terrain(shape, [](LatLon at) { return at.lon_deg > 10.503 ? 12.0 : -30.0; });
        const auto north_is_land = terrain(
            shape, [lat_deg](LatLon at) { return at.lat_deg > lat_deg + 0.003 ? 12.0 : -30.0; });
        const double km_per_lon_degree =
            kKmPerDegree * std::cos(lat_deg * std::numbers::pi / 180.0);
        for (const double km : {-30.0, -15.0, -6.0, 0.0, 4.0, 10.0, 18.0, 30.0}) {
            EXPECT_NEAR(share_of(*east_is_land, {lat_deg, 10.503 + km / km_per_lon_degree}),
                        share_at_straight_coast(km), 0.03)
                << lat_deg << ' ' << km;
            EXPECT_NEAR(share_of(*north_is_land, {lat_deg + 0.003 + km / kKmPerDegree, 10.5}),
                        share_at_straight_coast(km), 0.03)
                << lat_deg << ' ' << km;
        }
    }
}

TEST_F(LandShare, IsTheSameInAMeshAndAtScatteredPlaces) {
    const auto grid = terrain(north_up(177.0, 52.0, 0.02, 300, 200), [](LatLon at) {
        return std::sin(40.0 * at.lat_deg) + std::cos(35.0 * at.lon_deg);
    });
    const LandMesh mesh = *LandMesh::read(*grid, {49.0, 179.0}, {51.0, 181.5});
    const LandMesh part = *LandMesh::read(*grid, {49.9, 179.9}, {50.3, 180.2});
    for (const LatLon place : {LatLon{50.0, 180.0}, {50.2345, 179.987}, {49.95, 180.11}}) {
        const LatLon on_earth{place.lat_deg, normalised_lon_deg(place.lon_deg)};
        EXPECT_NEAR(mesh.share_at(place), share_of(*grid, on_earth), 1e-6);
        EXPECT_DOUBLE_EQ(mesh.share_at(place), part.share_at(place));
        EXPECT_GT(mesh.share_at(place), 0.1);
        EXPECT_LT(mesh.share_at(place), 0.9);
    }
}

TEST_F(LandShare, LeavesUnknownPixelsOut) {
    const auto grid = terrain(north_up(9.0, 51.0, 0.02, 100, 100), [](LatLon at) {
        return at.lon_deg > 10.0 ? 5.0 : std::numeric_limits<double>::quiet_NaN();
    });
    EXPECT_DOUBLE_EQ(share_of(*grid, {50.0, 10.05}), 1.0);
    EXPECT_TRUE(std::isnan(share_of(*grid, {20.0, 10.05})));
}

TEST_F(LandShare, IsKnownAtThePoles) {
    const auto grid = terrain(north_up(-180.0, 90.0, 0.5, 720, 360),
                              [](LatLon at) { return at.lat_deg < -60.0 ? 2000.0 : -3000.0; });
    EXPECT_DOUBLE_EQ(share_of(*grid, {-90.0, 0.0}), 1.0);
    EXPECT_DOUBLE_EQ(share_of(*grid, {90.0, 0.0}), 0.0);
}

}  // namespace
}  // namespace thirstline
