#include "builder/grids/cell_elevations.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

double slope_m(LatLon at, int /*month*/) {
    return 800.0 + 90.0 * (at.lat_deg - 45.0) - 40.0 * (at.lon_deg - 12.0);
}

class CellElevationsTest : public testing::Test {
  protected:
    std::unique_ptr<Grid> elevation(const RasterShape& shape, const CellValues& values,
                                    const RasterOptions& options = {}) {
        const std::string path = folder_.numbered("elevation", files_++, ".tif");
        write_raster(path, shape, 1, values, options);
        GridSpec spec = spec_of(Variable::elevation, "m", path);
        return opened(spec);
    }
    std::unique_ptr<Grid> climate(const RasterShape& shape, const CellValues& values) {
        const std::string path = folder_.numbered("tmax", files_++, ".tif");
        write_raster(path, shape, 12, values);
        return opened(tmax_spec(path));
    }

    /// Mean elevation of the cells that speak for a point.
    double cells_at(Grid& source, Grid& heights, LatLon at, int month = 0) {
        const Placement placement = source.place(PointBlock{{at.lat_deg}, {at.lon_deg}});
        const Result<GridWindow> window = source.read(placement);
        const auto elevations = CellElevations::read(source, placement, heights);
        EXPECT_TRUE(window);
        EXPECT_TRUE(elevations);
        return window->cell_ground(placement, 0, 0, **elevations, month).elevation_m;
    }
    double point_at(Grid& heights, LatLon at, bool inland) {
        const Placement placement = heights.place(PointBlock{{at.lat_deg}, {at.lon_deg}});
        return heights.read(placement)->point_elevation_m(placement, 0, 0, inland);
    }

    TempFolder folder_;
    int files_ = 0;
};

const RasterShape kClimate = north_up(8.0, 48.0, 0.5, 16, 12);
const auto kWarm = [](int, int, int) { return 15.0; };

TEST_F(CellElevationsTest, OfAnEvenSlopeIsTheSlopeItself) {
    // Whatever the ratio of sizes, means and bilinear weights keep a plane a plane.
    const RasterShape fine = north_up(6.0, 50.0, 1.0 / 12.0, 144, 120);
    const RasterShape coarse = north_up(4.0, 52.0, 2.0, 8, 8);
    const RasterShape projected{300, 300, {-200000, 5000, 0, 5600000, 0, -5000}, "EPSG:32633"};
    RasterShape climate_utm{20, 20, {100000, 25000, 0, 5250000, 0, -25000}, "EPSG:32633"};
    for (const RasterShape& shape : {kClimate, climate_utm}) {
        const auto source = climate(shape, kWarm);
        for (const RasterShape& raster : {fine, coarse, projected}) {
            const auto heights = elevation(raster, at_cell_centres(raster, slope_m));
            for (const LatLon at : {LatLon{45.2, 12.3}, LatLon{44.01, 11.77}}) {
                EXPECT_NEAR(cells_at(*source, *heights, at), slope_m(at, 0), 0.5);
                EXPECT_NEAR(point_at(*heights, at, false), slope_m(at, 0), 0.5);
            }
        }
    }
}

TEST_F(CellElevationsTest, DiffersFromThePointOnARidge) {
    // A ridge in the middle of each cell, valleys at its sides: the mean is 500 m all the same.
    const RasterShape fine = north_up(6.0, 50.0, 1.0 / 12.0, 144, 120);
    const auto waves = [](LatLon at, int) {
        return 500.0 + 400.0 * std::cos((at.lon_deg - 0.25) * 4.0 * M_PI);
    };
    const auto heights = elevation(fine, at_cell_centres(fine, waves));
    const auto source = climate(kClimate, kWarm);
    EXPECT_NEAR(cells_at(*source, *heights, {45.0, 12.25}), 500.0, 5.0);
    EXPECT_GT(point_at(*heights, {45.0, 12.25}, false), 830.0);
}

TEST_F(CellElevationsTest, SeaCountsAsZeroUnlessInland) {
    const RasterShape fine = north_up(6.0, 50.0, 1.0 / 12.0, 144, 120);
    // 100 m of land west of 12° E, 60 m below the sea east of it.
    const auto coast = [](LatLon at, int) { return at.lon_deg < 12.0 ? 100.0 : -60.0; };
    const auto heights = elevation(fine, at_cell_centres(fine, coast));
    const auto inland = climate(kClimate, kWarm);
    const auto coastal = climate(kClimate, [](int column, int, int) {
        return column <= 8 ? 15.0 : std::nan("");  // the last cell is 12 … 12.5° E
    });
    const LatLon in_the_hollow{45.25, 12.25};  // a cell's centre
    EXPECT_NEAR(cells_at(*inland, *heights, in_the_hollow), -60.0, 1e-3);
    EXPECT_NEAR(cells_at(*coastal, *heights, in_the_hollow), 0.0, 1e-3);
    EXPECT_NEAR(point_at(*heights, in_the_hollow, true), -60.0, 1e-3);
    EXPECT_EQ(point_at(*heights, in_the_hollow, false), 0.0);
    // Half land, half sea: the shore pixel is not drawn below the sea by the deep beside it.
    EXPECT_NEAR(point_at(*heights, {45.25, 12.0}, false), 50.0, 1e-3);
    EXPECT_NEAR(point_at(*heights, {45.25, 12.0}, true), 20.0, 1e-3);
}

TEST_F(CellElevationsTest, ShelvesInCoarsePixelsAreNotLandBelowTheSea) {
    // Depths of a harbour and of a shelf; land as low as the Caspian Sea's shore and Death Valley.
    struct Ground {
        double pixel_m, coarse_m, fine_m;
    };
    for (const Ground& ground :
         {Ground{-8.0, 0.0, -8.0}, Ground{-15.0, 0.0, -15.0}, Ground{-20.0, -10.0, -20.0},
          Ground{-30.0, -30.0, -30.0}, Ground{-86.0, -86.0, -86.0}, Ground{12.0, 12.0, 12.0}}) {
        const auto even = [&](LatLon, int) { return ground.pixel_m; };
        const RasterShape five_minutes = north_up(10.0, 47.0, 1.0 / 12.0, 48, 48);
        const RasterShape half_a_minute = north_up(12.0, 45.5, 1.0 / 120.0, 60, 60);
        const LatLon at{45.25, 12.25};
        EXPECT_NEAR(
            point_at(*elevation(five_minutes, at_cell_centres(five_minutes, even)), at, true),
            ground.coarse_m, 1e-3);
        EXPECT_NEAR(
            point_at(*elevation(half_a_minute, at_cell_centres(half_a_minute, even)), at, true),
            ground.fine_m, 1e-3);
    }
}

TEST_F(CellElevationsTest, DroppedCornersAreDroppedHereToo) {
    const RasterShape fine = north_up(6.0, 50.0, 0.25, 48, 40);
    const auto heights = elevation(fine, at_cell_centres(fine, slope_m));
    // Land only west of 12° E, and the rest known in July alone.
    const auto source = climate(kClimate, [](int column, int, int month) {
        return column < 8 || month == 6 ? 15.0 : std::nan("");
    });
    const LatLon at{45.25, 11.9};
    EXPECT_NEAR(cells_at(*source, *heights, at, 6), slope_m(at, 0), 0.01);
    EXPECT_NEAR(cells_at(*source, *heights, at, 0), slope_m({45.25, 11.75}, 0), 0.01)
        << "the centre of the one column that is known in January";
    EXPECT_TRUE(std::isnan(cells_at(*source, *heights, {45.25, 12.1}, 0)));
}

TEST_F(CellElevationsTest, UnknownElevation) {
    const RasterShape fine = north_up(6.0, 50.0, 0.25, 48, 40);
    const auto west_only = [](int column, int, int) { return column < 20 ? 300.0 : std::nan(""); };
    const auto heights = elevation(fine, west_only, {.missing_mark = -32768});
    const auto source = climate(kClimate, kWarm);
    EXPECT_NEAR(cells_at(*source, *heights, {45.25, 9.3}), 300.0, 1e-3);
    EXPECT_TRUE(std::isnan(cells_at(*source, *heights, {45.25, 13.3})));
    EXPECT_TRUE(std::isnan(point_at(*heights, {45.25, 13.3}, true)));
    EXPECT_TRUE(std::isnan(point_at(*heights, {55.0, 9.0}, true))) << "outside";
}

TEST_F(CellElevationsTest, ServesBlocksThatNeedTheSameCells) {
    const RasterShape fine = north_up(6.0, 50.0, 0.25, 48, 40);
    const auto heights = elevation(fine, at_cell_centres(fine, slope_m));
    const auto source = climate(kClimate, kWarm);
    const Placement here = source->place(PointBlock{{45.1, 45.15}, {10.0, 10.1}});
    const Placement beside = source->place(PointBlock{{45.17, 45.2}, {10.0, 10.1}});
    const Placement beyond = source->place(PointBlock{{45.6, 45.7}, {10.0, 10.1}});
    const auto elevations = CellElevations::read(*source, here, *heights);
    ASSERT_TRUE(elevations);
    EXPECT_TRUE((*elevations)->serves(here));
    EXPECT_TRUE((*elevations)->serves(beside));
    EXPECT_FALSE((*elevations)->serves(beyond));
    const Result<GridWindow> window = source->read(beside);
    ASSERT_TRUE(window);
    EXPECT_NEAR(window->cell_ground(beside, 1, 1, **elevations).elevation_m,
                slope_m({45.2, 10.1}, 0), 0.01);
}

TEST_F(CellElevationsTest, ScatteredPlaces) {
    const RasterShape fine = north_up(6.0, 50.0, 0.125, 96, 80);
    const auto heights = elevation(fine, at_cell_centres(fine, slope_m));
    const auto source = climate(kClimate, kWarm);
    const std::vector<LatLon> places{{45.2, 12.3}, {43.3, 9.1}, {60.0, 9.1}, {47.1, 15.5}};
    const auto samples = samples_at(*source, heights.get(), places);
    const auto elevations = elevations_at(*heights, places, {});
    ASSERT_TRUE(samples);
    ASSERT_TRUE(elevations);
    for (const std::size_t i : {std::size_t{0}, std::size_t{1}, std::size_t{3}}) {
        EXPECT_NEAR((*samples)[i].ground[11].elevation_m, slope_m(places[i], 0), 0.01);
        EXPECT_NEAR((*elevations)[i], slope_m(places[i], 0), 0.01);
    }
    EXPECT_TRUE(std::isnan((*samples)[2].ground[0].elevation_m));
    EXPECT_TRUE(std::isnan((*elevations)[2]));
}

}  // namespace
}  // namespace thirstline
