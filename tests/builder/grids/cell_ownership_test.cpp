// Rejected values are counted once, however a lattice is divided.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <set>
#include <tuple>

#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

Lattice lattice_of(double west, double south, double spacing_deg, int columns, int rows) {
    Lattice lattice;
    lattice.west_arcsec = static_cast<std::int32_t>(std::lround(west * kArcsecPerDegree));
    lattice.south_arcsec = static_cast<std::int32_t>(std::lround(south * kArcsecPerDegree));
    lattice.spacing_arcsec = static_cast<std::int32_t>(std::lround(spacing_deg * kArcsecPerDegree));
    lattice.columns = columns;
    lattice.rows = rows;
    return lattice;
}

std::vector<std::int32_t> random_cuts(std::int32_t length, std::mt19937& random) {
    std::set<std::int32_t> cuts{0, length};
    const auto pieces = std::uniform_int_distribution<int>(0, 6)(random);
    for (int i = 0; i < pieces; ++i) {
        cuts.insert(std::uniform_int_distribution<std::int32_t>(1, length - 1)(random));
    }
    return {cuts.begin(), cuts.end()};
}

/// Wind in which a cell in thirty is negative in some month and a cell in fifty is a hurricane.
struct WindRaster {
    std::vector<double> values;
    std::int64_t negative = 0;
    std::int64_t too_strong = 0;

    WindRaster(const RasterShape& shape, std::mt19937& random) : columns_(shape.columns) {
        std::uniform_int_distribution<int> chance(0, 299);
        for (int i = 0; i < shape.columns * shape.rows * kMonths; ++i) {
            const int drawn = chance(random);
            values.push_back(drawn < 10 ? -1.0 : drawn < 16 ? 99.0 : 3.0);
            negative += drawn < 10 ? 1 : 0;
            too_strong += drawn >= 10 && drawn < 16 ? 1 : 0;
        }
    }
    [[nodiscard]] CellValues cells() const {
        return [this](int column, int row, int month) {
            return values[static_cast<std::size_t>((row * columns_ + column) * kMonths + month)];
        };
    }

  private:
    int columns_;
};

struct Counts {
    std::int64_t negative = 0;
    std::int64_t too_strong = 0;
    std::set<std::tuple<int, int, int>> listed;
    std::size_t listings = 0;
    friend bool operator==(const Counts& a, const Counts& b) {
        return a.negative == b.negative && a.too_strong == b.too_strong;
    }
};

Counts counted(Grid& grid, const Lattice& lattice, const std::vector<std::int32_t>& row_cuts,
               const std::vector<std::int32_t>& column_cuts) {
    const CellOwnership ownership = grid.ownership(lattice);
    Counts counts;
    for (std::size_t i = 0; i + 1 < row_cuts.size(); ++i) {
        for (std::size_t j = 0; j + 1 < column_cuts.size(); ++j) {
            const BlockBounds block{row_cuts[i], row_cuts[i + 1], column_cuts[j],
                                    column_cuts[j + 1]};
            const Placement placement = grid.place(block_of_lattice(lattice, block));
            const Result<GridWindow> window = grid.read(placement, ownership, block);
            EXPECT_TRUE(window);
            const Rejections& rejections = window->rejections();
            counts.negative +=
                rejections.counts[static_cast<std::size_t>(RejectionRule::negative_wind)];
            counts.too_strong +=
                rejections.counts[static_cast<std::size_t>(RejectionRule::outside_plausible_range)];
            for (const RejectedCell& cell : rejections.listed) {
                counts.listed.insert({cell.row, cell.column, cell.month});
                ++counts.listings;
                EXPECT_EQ(cell.value, cell.rule == RejectionRule::negative_wind ? -1.0F : 99.0F);
            }
            EXPECT_LE(rejections.listed.size(), Rejections::kListed);
        }
    }
    return counts;
}

class CellOwnershipTest : public testing::Test {
  protected:
    std::unique_ptr<Grid> wind(const RasterShape& shape, const WindRaster& raster) {
        const std::string path = folder_.numbered("wind", files_++, ".tif");
        write_raster(path, shape, 12, raster.cells());
        GridSpec spec = spec_of(Variable::wind, "m/s", path);
        return opened(spec);
    }

    void expect_counts_for_random_cuts(Grid& grid, const Lattice& lattice, const Counts& expected) {
        for (int turn = 0; turn < 12; ++turn) {
            const Counts got = counted(grid, lattice, random_cuts(lattice.rows, random_),
                                       random_cuts(lattice.columns, random_));
            EXPECT_EQ(got.negative, expected.negative);
            EXPECT_EQ(got.too_strong, expected.too_strong);
            EXPECT_EQ(got.listed.size(), got.listings) << "no cell is listed twice";
        }
    }

    TempFolder folder_;
    int files_ = 0;
    std::mt19937 random_{77};
};

TEST_F(CellOwnershipTest, EveryCellOfARasterUnderAFinerLattice) {
    const RasterShape regional = north_up(5.0, 50.0, 0.5, 24, 20);
    RasterShape south_up = regional;
    south_up.geotransform = {5.0, 0.5, 0.0, 40.0, 0.0, 0.5};
    RasterShape rotated{24, 24, {6.0, 0.4, 0.15, 49.0, 0.15, -0.4}, "EPSG:4326"};
    RasterShape projected{30, 28, {4200000, 40000, 0, 3100000, 0, -40000}, "EPSG:3035"};
    for (const RasterShape& shape : {regional, south_up, rotated, projected}) {
        const WindRaster raster(shape, random_);
        const auto grid = wind(shape, raster);
        // 0.125° against cells of 0.36° and more: no cell without its point.
        const Lattice lattice = lattice_of(0.0, 34.0, 0.125, 280, 176);
        expect_counts_for_random_cuts(*grid, lattice, {raster.negative, raster.too_strong, {}, 0});
    }
}

TEST_F(CellOwnershipTest, LatticeCoarserThanTheRaster) {
    const RasterShape regional = north_up(5.0, 50.0, 0.1, 120, 100);
    RasterShape rotated{120, 100, {5.0, 0.1, 0.03, 49.0, 0.03, -0.1}, "EPSG:4326"};
    const Lattice lattice = lattice_of(4.75, 38.5, 0.75, 18, 17);
    const WindRaster raster(regional, random_);
    const auto grid = wind(regional, raster);
    // All that is read in one piece, with no ownership at all.
    const Result<GridWindow> whole =
        grid->read(grid->place(block_of_lattice(lattice, {0, lattice.rows, 0, lattice.columns})));
    ASSERT_TRUE(whole);
    const auto& counts = whole->rejections().counts;
    const Counts expected{counts[static_cast<std::size_t>(RejectionRule::negative_wind)],
                          counts[static_cast<std::size_t>(RejectionRule::outside_plausible_range)],
                          {},
                          0};
    EXPECT_GT(expected.negative, 100);
    EXPECT_LT(expected.negative, raster.negative) << "most cells are never needed";
    expect_counts_for_random_cuts(*grid, lattice, expected);

    const auto tilted = wind(rotated, raster);
    const Counts in_one = counted(*tilted, lattice, {0, lattice.rows}, {0, lattice.columns});
    EXPECT_GT(in_one.negative, 100);
    expect_counts_for_random_cuts(*tilted, lattice, in_one);
}

TEST_F(CellOwnershipTest, AroundTheGlobe) {
    const RasterShape world = north_up(-180.0, 90.0, 5.0, 72, 36);
    const RasterShape from_greenwich = north_up(0.0, 90.0, 5.0, 72, 36);
    for (const RasterShape& shape : {world, from_greenwich}) {
        const WindRaster raster(shape, random_);
        const auto grid = wind(shape, raster);
        const Counts all{raster.negative, raster.too_strong, {}, 0};
        expect_counts_for_random_cuts(*grid, lattice_of(-180.0, -90.0, 1.0, 360, 181), all);
        expect_counts_for_random_cuts(*grid, lattice_of(20.0, -90.0, 2.0, 180, 91), all);
    }
}

TEST_F(CellOwnershipTest, PartOfARaster) {
    const RasterShape world = north_up(-180.0, 90.0, 1.0, 360, 180);
    const WindRaster raster(world, random_);
    const auto grid = wind(world, raster);
    const Lattice pacific = lattice_of(170.0, -20.0, 0.5, 41, 31);  // 170…190° E, 20…5° S
    // Cells from one beyond the point's own neighbours, on each side: rows of 21.5° … 3.5° S.
    std::int64_t negative = 0;
    for (int row = 180 - 180; row < 180; ++row) {
        const double lat = 89.5 - row;
        if (lat < -22.0 || lat > -3.0) continue;
        for (int column = 0; column < 360; ++column) {
            const double lon = column < 180 ? 180.5 + column : column - 179.5;
            if (lon < 168.0 || lon > 192.0) continue;
            for (int month = 0; month < kMonths; ++month) {
                negative += raster.cells()(column, row, month) < 0.0 ? 1 : 0;
            }
        }
    }
    const Counts whole = counted(*grid, pacific, {0, pacific.rows}, {0, pacific.columns});
    EXPECT_EQ(whole.negative, negative);
    expect_counts_for_random_cuts(*grid, pacific, whole);
}

}  // namespace
}  // namespace thirstline
