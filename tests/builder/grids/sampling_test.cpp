// Bilinear sampling compared with a reference computed cell by cell.
#include <gtest/gtest.h>

#include <cmath>
#include <optional>
#include <random>
#include <thread>

#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

/// A raster of random numbers with holes, kept beside the file. Row 0 is the northernmost here.
struct RandomRaster {
    RasterShape shape;
    std::vector<double> values;  ///< [row][column][month], NaN in holes

    [[nodiscard]] double at(int row, int column, int month) const {
        return values[static_cast<std::size_t>((row * shape.columns + column) * kMonths + month)];
    }
    [[nodiscard]] CellValues cells(bool south_up) const {
        return [this, south_up](int column, int row, int month) {
            return at(south_up ? shape.rows - 1 - row : row, column, month);
        };
    }
};

RandomRaster random_raster(const RasterShape& shape, std::mt19937& random) {
    RandomRaster raster{shape, {}};
    std::uniform_real_distribution<double> value(-20.0, 40.0);
    std::uniform_real_distribution<double> chance(0.0, 1.0);
    for (int cell = 0; cell < shape.columns * shape.rows; ++cell) {
        const bool hole = chance(random) < 0.15;
        for (int month = 0; month < kMonths; ++month) {
            const bool month_hole = hole || chance(random) < 0.02;
            raster.values.push_back(month_hole ? std::nan("") : value(random));
        }
    }
    return raster;
}

/// Interpolation as the interface describes it, for a north-up raster; `global` closes the circle.
struct Reference {
    const RandomRaster& raster;
    bool global;

    [[nodiscard]] int column(int c) const {
        const int n = raster.shape.columns;
        return global ? ((c % n) + n) % n : std::min(std::max(c, 0), n - 1);
    }
    [[nodiscard]] int row(int r) const { return std::min(std::max(r, 0), raster.shape.rows - 1); }
    [[nodiscard]] bool has_data(int r, int c) const {
        for (int month = 0; month < kMonths; ++month) {
            if (!std::isnan(raster.at(row(r), column(c), month))) return true;
        }
        return false;
    }
    [[nodiscard]] std::optional<std::pair<double, double>> pixel(LatLon point) const {
        const auto& gt = raster.shape.geotransform;
        double lon = point.lon_deg;
        while (lon < gt[0]) lon += 360.0;
        while (lon >= gt[0] + 360.0) lon -= 360.0;
        const double x = (lon - gt[0]) / gt[1];
        const double y = (point.lat_deg - gt[3]) / gt[5];
        if (x > raster.shape.columns || y < 0 || y > raster.shape.rows) return std::nullopt;
        return std::pair(x, y);
    }
    [[nodiscard]] double value(LatLon point, int month) const {
        const auto at = pixel(point);
        if (!at) return std::nan("");
        const auto [x, y] = *at;
        if (std::isnan(raster.at(row(static_cast<int>(std::floor(y))),
                                 column(static_cast<int>(std::floor(x))), month))) {
            return std::nan("");
        }
        const int c0 = static_cast<int>(std::floor(x - 0.5));
        const int r0 = static_cast<int>(std::floor(y - 0.5));
        double sum = 0.0;
        double weight = 0.0;
        for (int r = r0; r <= r0 + 1; ++r) {
            for (int c = c0; c <= c0 + 1; ++c) {
                const double v = raster.at(row(r), column(c), month);
                const double w = (1.0 - std::abs(y - 0.5 - r)) * (1.0 - std::abs(x - 0.5 - c));
                if (std::isnan(v)) continue;
                sum += w * v;
                weight += w;
            }
        }
        return sum / weight;
    }
    [[nodiscard]] bool inland(LatLon point) const {
        const auto at = pixel(point);
        if (!at) return false;
        const int r = row(static_cast<int>(std::floor(at->second)));
        const int c = column(static_cast<int>(std::floor(at->first)));
        for (int dr = -1; dr <= 1; ++dr) {
            for (int dc = -1; dc <= 1; ++dc) {
                if (!has_data(r + dr, c + dc)) return false;
            }
        }
        return true;
    }
};

void compare(Grid& grid, const Reference& reference, const PointBlock& block) {
    const Placement placement = grid.place(block);
    const Result<GridWindow> window = grid.read(placement);
    ASSERT_TRUE(window);
    int known = 0;
    for (int i = 0; i < placement.rows; ++i) {
        for (int j = 0; j < placement.columns; ++j) {
            const LatLon at{block.lats_deg[static_cast<std::size_t>(i)],
                            block.lons_deg[static_cast<std::size_t>(j)]};
            const GridSample sample = window->sample(placement, i, j);
            for (int month = 0; month < kMonths; ++month) {
                const double expected = reference.value(at, month);
                const double got = sample.values[static_cast<std::size_t>(month)];
                ASSERT_EQ(std::isnan(got), std::isnan(expected)) << at.lat_deg << " " << at.lon_deg;
                if (std::isnan(expected)) continue;
                ASSERT_NEAR(got, expected, 1e-4) << at.lat_deg << " " << at.lon_deg;
                ++known;
            }
            ASSERT_EQ(sample.inland, reference.inland(at)) << at.lat_deg << " " << at.lon_deg;
        }
    }
    EXPECT_GT(known, 100);
}

/// Even steps that fall neither on cells' edges nor on their centres.
PointBlock odd_block(double south, double west, double step, int rows, int columns) {
    PointBlock block;
    for (int i = 0; i < rows; ++i) block.lats_deg.push_back(south + step * i);
    for (int j = 0; j < columns; ++j) block.lons_deg.push_back(west + step * j);
    return block;
}

class Sampling : public testing::Test {
  protected:
    TempFolder folder_;
    std::mt19937 random_{20240607};
};

TEST_F(Sampling, RegionalRasterFinerAndCoarserThanThePoints) {
    const RandomRaster raster = random_raster(north_up(-10.0, 52.0, 0.5, 40, 30), random_);
    for (const bool south_up : {false, true}) {
        RasterShape shape = raster.shape;
        if (south_up) shape.geotransform = {-10.0, 0.5, 0.0, 37.0, 0.0, 0.5};
        const std::string path = folder_ / (south_up ? "south_up.tif" : "north_up.tif");
        write_raster(path, shape, 12, raster.cells(south_up));
        const auto grid = opened(tmax_spec(path));
        const Reference reference{raster, false};
        compare(*grid, reference, odd_block(36.0317, -11.0221, 0.137, 120, 160));
        compare(*grid, reference, odd_block(36.0317, -11.0221, 1.913, 9, 12));
    }
}

TEST_F(Sampling, GlobalRasterAcrossItsSeamAndAtThePoles) {
    const RandomRaster raster = random_raster(north_up(-180.0, 90.0, 5.0, 72, 36), random_);
    const std::string path = folder_ / "world.tif";
    write_raster(path, raster.shape, 12, raster.cells(false));
    const auto grid = opened(tmax_spec(path));
    const Reference reference{raster, true};
    compare(*grid, reference, odd_block(-89.93, 170.03, 1.731, 104, 20));
    compare(*grid, reference, odd_block(-89.93, -179.97, 7.313, 24, 49));
    PointBlock poles{{-90.0, 90.0}, {}};
    for (int lon = -180; lon < 180; lon += 2) poles.lons_deg.push_back(lon + 0.7);
    compare(*grid, reference, poles);
}

TEST_F(Sampling, PointsOnEdgesBelongToTheNorthEasternCell) {
    const RasterShape shape = north_up(0.0, 4.0, 1.0, 4, 4);
    const std::string path = folder_ / "corner.tif";
    write_raster(path, shape, 12, [](int column, int row, int) {
        return column == 2 && row == 1 ? std::nan("") : 10.0;
    });  // the hole is 2…3° E, 2…3° N
    RasterShape turned = shape;
    turned.geotransform = {4.0, -1.0, 0.0, 0.0, 0.0, 1.0};
    const std::string turned_path = folder_ / "turned.tif";
    write_raster(turned_path, turned, 12, [](int column, int row, int) {
        return column == 1 && row == 2 ? std::nan("") : 10.0;
    });
    for (const std::string& each : {path, turned_path}) {
        const auto grid = opened(tmax_spec(each));
        EXPECT_TRUE(std::isnan(sample_at(*grid, {2.0, 2.0}).values[0])) << "its south-west corner";
        EXPECT_EQ(sample_at(*grid, {3.0, 3.0}).values[0], 10.0F);
        EXPECT_EQ(sample_at(*grid, {3.0, 2.5}).values[0], 10.0F);
        EXPECT_EQ(sample_at(*grid, {2.5, 3.0}).values[0], 10.0F);
        EXPECT_TRUE(std::isnan(sample_at(*grid, {2.5, 2.0}).values[0]));
        EXPECT_EQ(sample_at(*grid, {0.0, 0.0}).values[0], 10.0F) << "the raster's own corners";
        EXPECT_EQ(sample_at(*grid, {4.0, 4.0}).values[0], 10.0F);
        EXPECT_TRUE(std::isnan(sample_at(*grid, {4.001, 4.0}).values[0]));
        EXPECT_TRUE(std::isnan(sample_at(*grid, {4.0, -0.001}).values[0]));
    }
}

TEST_F(Sampling, RecognizesEdgesAtDecimalFractions) {
    // Cells of 0.1° numbered along the diagonal; every point lies on a corner of four of them.
    constexpr int kCells = 200;
    const RasterShape shape = north_up(7.9, 50.1, 0.1, kCells, kCells);
    const std::string path = folder_ / "tenths.tif";
    write_raster(path, shape, 12, [](int column, int row, int) {
        return (column + row) % 2 == 0 ? 10.0 : std::nan("");
    });
    const auto grid = opened(tmax_spec(path));
    PointBlock block;
    for (int i = 1; i < kCells; ++i) {
        block.lats_deg.push_back((301 + i) / 10.0);
        block.lons_deg.push_back((79 + i) / 10.0);
    }
    const Placement placement = grid->place(block);
    const Result<GridWindow> window = grid->read(placement);
    ASSERT_TRUE(window);
    for (int i = 0; i < placement.rows; ++i) {
        for (int j = 0; j < placement.columns; ++j) {
            const int row_to_the_north = kCells - 1 - (i + 1);
            const int column_to_the_east = j + 1;
            const bool known = (row_to_the_north + column_to_the_east) % 2 == 0;
            ASSERT_EQ(std::isnan(window->sample(placement, i, j).values[0]), !known)
                << i << " " << j;
        }
    }
}

TEST_F(Sampling, WideRasterUnderFewPointsIsNotReadWhole) {
    const RasterShape shape{
        43200, 48, {-180.0, 360.0 / 43200.0, 0.0, 2.0, 0.0, -4.0 / 48.0}, "EPSG:4326"};
    const auto field = [](LatLon at, int month) { return at.lat_deg + at.lon_deg / 10.0 + month; };
    const std::string path = folder_ / "wide.tif";
    write_raster(path, shape, 12, at_cell_centres(shape, field),
                 {.type = GDT_Float32, .creation = {"TILED=NO", "COMPRESS=LZW"}});
    const auto grid = opened(tmax_spec(path));
    const PointBlock block = odd_block(-1.75, -179.75, 0.5, 8, 719);
    const Placement placement = grid->place(block);
    EXPECT_LE(placement.row_cells.cells.size(), 8U * 4U);
    EXPECT_LE(placement.column_cells.cells.size(), 719U * 4U);
    EXPECT_LT(placement.window_bytes(12), std::size_t{8} << 20);
    const Result<GridWindow> window = grid->read(placement);
    ASSERT_TRUE(window);
    for (const int i : {0, 3, 7}) {
        for (const int j : {0, 1, 400, 718}) {
            const LatLon at{block.lats_deg[static_cast<std::size_t>(i)],
                            block.lons_deg[static_cast<std::size_t>(j)]};
            EXPECT_NEAR(window->sample(placement, i, j).values[6], field(at, 6), 1e-4);
        }
    }
}

TEST_F(Sampling, ManyThreadsOneWindow) {
    const RandomRaster raster = random_raster(north_up(-10.0, 52.0, 0.5, 40, 30), random_);
    const std::string path = folder_ / "threads.tif";
    write_raster(path, raster.shape, 12, raster.cells(false));
    const auto grid = opened(tmax_spec(path));
    const Placement placement = grid->place(odd_block(38.0, -9.0, 0.11, 90, 90));
    const Result<GridWindow> window = grid->read(placement);
    ASSERT_TRUE(window);
    const auto sum = [&] {
        double total = 0.0;
        for (int i = 0; i < placement.rows; ++i) {
            for (int j = 0; j < placement.columns; ++j) {
                for (const float value : window->sample(placement, i, j).values) {
                    if (!std::isnan(value)) total += value;
                }
            }
        }
        return total;
    };
    const double alone = sum();
    std::array<double, 4> together{};
    std::vector<std::thread> threads;
    for (double& each : together) threads.emplace_back([&each, &sum] { each = sum(); });
    for (std::thread& thread : threads) thread.join();
    for (const double each : together) EXPECT_EQ(each, alone);
}

TEST_F(Sampling, ScatteredPlacesAreThoseOfBlocks) {
    const RandomRaster raster = random_raster(north_up(-180.0, 90.0, 2.0, 180, 90), random_);
    const std::string path = folder_ / "places.tif";
    write_raster(path, raster.shape, 12, raster.cells(false));
    const auto grid = opened(tmax_spec(path));
    std::vector<LatLon> places;
    std::uniform_real_distribution<double> lat(-90.0, 90.0);
    std::uniform_real_distribution<double> lon(-180.0, 180.0);
    for (int i = 0; i < 500; ++i) places.push_back({lat(random_), lon(random_)});
    const Result<std::vector<PlaceSample>> samples = samples_at(*grid, nullptr, places);
    ASSERT_TRUE(samples);
    const Reference reference{raster, true};
    for (std::size_t i = 0; i < places.size(); ++i) {
        const double expected = reference.value(places[i], 4);
        const double got = (*samples)[i].sample.values[4];
        ASSERT_EQ(std::isnan(got), std::isnan(expected));
        if (!std::isnan(expected)) {
            EXPECT_NEAR(got, expected, 1e-4);
        }
        EXPECT_EQ((*samples)[i].sample.inland, reference.inland(places[i]));
    }
}

TEST_F(Sampling, SameGeometry) {
    const RasterShape shape = north_up(-10.0, 52.0, 0.5, 40, 30);
    const auto write = [&](const std::string& name, const RasterShape& each) {
        const std::string path = folder_ / name;
        write_raster(path, each, 12, [](int, int, int) { return 1.0; });
        return opened(tmax_spec(path));
    };
    const auto a = write("a.tif", shape);
    EXPECT_TRUE(same_geometry(*a, *write("b.tif", shape)));
    EXPECT_TRUE(same_geometry(*a, *write("c.tif", north_up(-10.0 + 1e-9, 52.0, 0.5, 40, 30))));
    EXPECT_FALSE(same_geometry(*a, *write("d.tif", north_up(-9.9, 52.0, 0.5, 40, 30))));
    EXPECT_FALSE(same_geometry(*a, *write("e.tif", north_up(-10.0, 52.0, 0.5, 41, 30))));
    EXPECT_FALSE(same_geometry(*a, *write("f.tif", north_up(-10.0, 52.0, 0.49, 40, 30))));
}

}  // namespace
}  // namespace thirstline
