// Real files compared with GDAL's own reading of single pixels. Skipped if the data are not
// available in the folder named by THIRSTLINE_OPEN_DATA.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

struct OpenGrid {
    const char* file;
    Variable variable;
    const char* unit;
    int rejected;  ///< cell-months; counted apart, see RejectedValuesOfTheClimatology
};

// CRU CL 1.0, 1961–1990 (New, Hulme and Jones 1999, J. Climate 12, 829).
const OpenGrid kCru[] = {
    {"tmx.tif", Variable::tmax, "degC", 0},
    {"tmn.tif", Variable::tmin, "degC", 0},
    {"vap.nc", Variable::vapour_pressure, "hPa", 0},
    {"wnd.tif", Variable::wind, "m/s", -1},
    {"rad.tif", Variable::radiation, "W/m2", 0},
    {"pre.nc", Variable::rain, "mm/day", 0},
    {"cld.tif", Variable::cloud, "%", 0},
    {"wet.tif", Variable::rain_days, "day", 0},
};

class OpenGrids : public testing::Test {
  protected:
    void SetUp() override {
        const char* named = std::getenv("THIRSTLINE_OPEN_DATA");
        root_ = named != nullptr ? named : THIRSTLINE_OPEN_DATA_DEFAULT;
        if (!std::filesystem::exists(root_ / "cru-cl1-1961-1990")) {
            GTEST_SKIP() << "no open data: name their folder in THIRSTLINE_OPEN_DATA";
        }
    }
    [[nodiscard]] GridSpec cru(const OpenGrid& grid) const {
        GridSpec spec =
            spec_of(grid.variable, grid.unit, (root_ / "cru-cl1-1961-1990" / grid.file).string());
        return spec;
    }

    TempFolder folder_;
    std::filesystem::path root_;
};

/// Every twelve raw numbers of a file, as GDAL gives them one by one, after scale and offset; NaN
/// for the missing mark.
Monthly<double> pixel(GDALDataset& dataset, int column, int row) {
    Monthly<double> values{};
    for (int month = 0; month < kMonths; ++month) {
        GDALRasterBand* band = dataset.GetRasterBand(month + 1);
        double raw = 0.0;
        EXPECT_EQ(
            band->RasterIO(GF_Read, column, row, 1, 1, &raw, 1, 1, GDT_Float64, 0, 0, nullptr),
            CE_None);
        int has_mark = FALSE;
        const double mark = band->GetNoDataValue(&has_mark);
        values[static_cast<std::size_t>(month)] = has_mark != FALSE && raw == mark
                                                      ? std::nan("")
                                                      : raw * band->GetScale() + band->GetOffset();
    }
    return values;
}

TEST_F(OpenGrids, CellCentresAreTheFilesOwnNumbers) {
    for (const OpenGrid& each : kCru) {
        const auto grid = opened(cru(each));
        EXPECT_TRUE(grid->warnings().empty()) << grid->warnings().front();
        EXPECT_TRUE(grid->check_unit_plausible()) << each.file;
        CPLPushErrorHandler(CPLQuietErrorHandler);
        const GDALDatasetUniquePtr file(
            GDALDataset::Open(grid->spec().path.c_str(), GDAL_OF_RASTER));
        CPLPopErrorHandler();
        ASSERT_NE(file, nullptr);
        const Result<UnitConversion> conversion = unit_conversion(each.variable, each.unit);
        ASSERT_TRUE(conversion);
        int known = 0;
        for (int row = 3; row < 360; row += 11) {
            for (int column = 1; column < 720; column += 13) {
                const Monthly<double> raw = pixel(*file, column, row);
                const GridSample sample = sample_at(*grid, grid->cell_centre(row, column));
                for (std::size_t month = 0; month < kMonths; ++month) {
                    const double expected =
                        conversion->canonical(raw[month], static_cast<int>(month));
                    const float got = sample.values[month];
                    if (std::isnan(expected) || rejection_of(each.variable, expected)) {
                        EXPECT_TRUE(std::isnan(got)) << each.file << " " << row << " " << column;
                        continue;
                    }
                    EXPECT_NEAR(got, expected, 1e-5 * std::max(1.0, std::abs(expected)))
                        << each.file << " " << row << " " << column;
                    ++known;
                }
            }
        }
        EXPECT_GT(known, 3000) << each.file;
    }
}

TEST_F(OpenGrids, RejectedValuesOfTheClimatology) {
    Lattice lattice;  // the world at half a degree, on the cells' corners
    lattice.west_arcsec = -648000;
    lattice.south_arcsec = -324000;
    lattice.spacing_arcsec = 1800;
    lattice.columns = 720;
    lattice.rows = 361;
    for (const OpenGrid& each : kCru) {
        const auto grid = opened(cru(each));
        CPLPushErrorHandler(CPLQuietErrorHandler);
        const GDALDatasetUniquePtr file(
            GDALDataset::Open(grid->spec().path.c_str(), GDAL_OF_RASTER));
        CPLPopErrorHandler();
        ASSERT_NE(file, nullptr);
        const Result<UnitConversion> conversion = unit_conversion(each.variable, each.unit);
        std::int64_t expected = 0;
        std::vector<double> raw(720 * 360);
        for (int month = 0; month < kMonths; ++month) {
            GDALRasterBand* band = file->GetRasterBand(month + 1);
            ASSERT_EQ(band->RasterIO(GF_Read, 0, 0, 720, 360, raw.data(), 720, 360, GDT_Float64, 0,
                                     0, nullptr),
                      CE_None);
            const double mark = band->GetNoDataValue();
            for (const double number : raw) {
                if (number == mark) continue;
                const double value =
                    conversion->canonical(number * band->GetScale() + band->GetOffset(), month);
                expected += rejection_of(each.variable, value) ? 1 : 0;
            }
        }
        std::int64_t counted = 0;
        const CellOwnership ownership = grid->ownership(lattice);
        for (std::int32_t row = 0; row < lattice.rows; row += 40) {
            const BlockBounds block{row, std::min(row + 40, lattice.rows), 0, lattice.columns};
            const Result<GridWindow> window =
                grid->read(grid->place(block_of_lattice(lattice, block)), ownership, block);
            ASSERT_TRUE(window);
            for (const std::int64_t count : window->rejections().counts) counted += count;
        }
        EXPECT_EQ(counted, expected) << each.file;
        if (each.rejected >= 0) {
            EXPECT_EQ(counted, each.rejected) << each.file;
        } else {
            EXPECT_GT(counted, 0) << each.file;
        }
    }
}

TEST_F(OpenGrids, WrongUnitsAreFound) {
    const auto message_with = [&](OpenGrid grid, const char* unit) {
        grid.unit = unit;
        return open_error(cru(grid)).message;
    };
    EXPECT_NE(message_with(kCru[0], "K").find("\"degC\""), std::string::npos);
    EXPECT_NE(message_with(kCru[5], "mm/month").find("\"mm/day\""), std::string::npos);
    EXPECT_NE(message_with(kCru[3], "km/h").find("\"m s-1\""), std::string::npos);
}

TEST_F(OpenGrids, KnownHeights) {
    GridSpec spec =
        spec_of(Variable::elevation, "m", (root_ / "elevation" / "etopo5.tif").string());
    const auto elevation = opened(spec);
    // Heights from memory, wide enough for cells of 9 km: El Alto, the bottom of the Qattara
    // Depression (133 m below the sea), mid-Atlantic, the South Pole.
    const std::vector<LatLon> places{{-16.55, -68.25}, {30.08, 27.0}, {30.0, -40.0}, {-90.0, 0.0}};
    const auto on_land = elevations_at(*elevation, places, {true, true, false, true});
    ASSERT_TRUE(on_land);
    EXPECT_NEAR((*on_land)[0], 4000.0, 250.0);
    EXPECT_LT((*on_land)[1], -80.0);
    EXPECT_EQ((*on_land)[2], 0.0);
    EXPECT_NEAR((*on_land)[3], 2800.0, 150.0);
    // Boston, inland in a climate grid of half a degree, and the Salton Sea (surface at −71 m).
    const auto low = elevations_at(*elevation, {{42.36, -71.06}, {33.2, -115.7}}, {true, true});
    ASSERT_TRUE(low);
    EXPECT_EQ((*low)[0], 0.0);
    EXPECT_LT((*low)[1], -70.0);
}

}  // namespace
}  // namespace thirstline
