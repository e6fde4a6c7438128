// One field in many files: all formats give the same numbers.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

/// Places within 8…16° E, 42…48° N, off every centre and edge.
const std::vector<LatLon> kPlaces{{44.0, 10.0}, {45.013, 11.372}, {47.77, 15.11}, {42.61, 8.53}};

const RasterShape kShape = north_up(8.0, 48.0, 0.25, 32, 24);

void expect_field(Grid& grid, const Field& field, double tolerance) {
    for (const LatLon& at : kPlaces) {
        const GridSample sample = sample_at(grid, at);
        for (int month = 0; month < kMonths; ++month) {
            EXPECT_NEAR(sample.values[static_cast<std::size_t>(month)], field(at, month), tolerance)
                << grid.spec().path << " at " << at.lat_deg << " " << at.lon_deg;
        }
        EXPECT_TRUE(sample.inland);
    }
    EXPECT_TRUE(std::isnan(sample_at(grid, {40.0, 10.0}).values[0])) << "outside";
    EXPECT_TRUE(std::isnan(sample_at(grid, {44.0, 17.0}).values[0])) << "outside";
    EXPECT_TRUE(std::isnan(sample_at(grid, {44.0, -170.0}).values[0])) << "outside";
}

class GridFormats : public testing::Test {
  protected:
    TempFolder folder_;
};

TEST_F(GridFormats, GeoTiff) {
    const std::string path = folder_ / "tmax.tif";
    write_raster(path, kShape, 12, at_cell_centres(kShape, linear_tmax_c), {.unit = "degC"});
    const auto grid = opened(tmax_spec(path));
    expect_field(*grid, linear_tmax_c, 1e-5);
    EXPECT_TRUE(grid->warnings().empty());
    EXPECT_EQ(grid->files(), std::vector<std::string>{path});
    EXPECT_EQ(grid->columns(), 32);
    EXPECT_EQ(grid->rows(), 24);
    EXPECT_NEAR(grid->cell_centre(0, 0).lat_deg, 47.875, 1e-12);
    EXPECT_NEAR(grid->cell_centre(0, 0).lon_deg, 8.125, 1e-12);
}

TEST_F(GridFormats, ScaledShortsWithMissingMark) {
    const std::string path = folder_ / "packed.tif";
    CellValues field = at_cell_centres(kShape, linear_tmax_c);
    const CellValues holed = [&](int column, int row, int band) {
        return column == 20 && row == 3 ? std::nan("") : field(column, row, band);
    };
    write_raster(path, kShape, 12, holed,
                 {.type = GDT_Int16, .scale = 0.01, .offset = 5.0, .missing_mark = -32768});
    const auto grid = opened(tmax_spec(path));
    expect_field(*grid, linear_tmax_c, 0.006);
    const GridSample in_hole = sample_at(*grid, grid->cell_centre(3, 20));
    for (const float value : in_hole.values) EXPECT_TRUE(std::isnan(value));
    EXPECT_FALSE(in_hole.inland);
    EXPECT_FALSE(sample_at(*grid, grid->cell_centre(4, 21)).inland) << "beside the hole";
    EXPECT_TRUE(sample_at(*grid, grid->cell_centre(5, 22)).inland);
}

TEST_F(GridFormats, RecognizesAMissingMarkThatIsNotAnExactFloat) {
    const std::string path = folder_ / "float.tif";
    const CellValues field = at_cell_centres(kShape, linear_tmax_c);
    const CellValues holed = [&](int column, int row, int band) {
        return column == 20 && row == 3 ? std::nan("") : field(column, row, band);
    };
    for (const double mark : {-3.4e38, -9999.9, 1e20, -3.4028234663852886e38}) {
        write_raster(path, kShape, 12, holed, {.type = GDT_Float32, .missing_mark = mark});
        const auto grid = opened(tmax_spec(path));
        const Placement placement = grid->place(PointBlock{{47.2}, {13.1}});
        const Result<GridWindow> window = grid->read(placement);
        ASSERT_TRUE(window);
        EXPECT_EQ(window->rejections().counts[0], 0) << mark << " is not a value out of range";
        EXPECT_TRUE(std::isnan(window->sample(placement, 0, 0).values[0]));
    }
}

TEST_F(GridFormats, SecondMissingMarkOfNetcdf) {
    const std::string path = folder_ / "two_marks.tif";
    write_raster(path, kShape, 12, [](int column, int, int) { return column < 16 ? 7.0 : 10.0; });
    {
        const GDALDatasetUniquePtr file(
            GDALDataset::Open(path.c_str(), GDAL_OF_RASTER | GDAL_OF_UPDATE));
        ASSERT_NE(file, nullptr);
        for (int band = 1; band <= 12; ++band) {
            file->GetRasterBand(band)->SetMetadataItem("missing_value", "7");
        }
    }
    const auto grid = opened(tmax_spec(path));
    EXPECT_TRUE(std::isnan(sample_at(*grid, {45.0, 9.1}).values[5]));
    EXPECT_EQ(sample_at(*grid, {45.0, 15.1}).values[5], 10.0F);
}

TEST_F(GridFormats, NanNeedsNoMark) {
    const std::string path = folder_ / "nan.tif";
    write_raster(path, kShape, 12,
                 [](int column, int, int) { return column < 16 ? std::nan("") : 10.0; });
    const auto grid = opened(tmax_spec(path));
    EXPECT_TRUE(std::isnan(sample_at(*grid, {45.0, 9.1}).values[5]));
    EXPECT_EQ(sample_at(*grid, {45.0, 15.1}).values[5], 10.0F);
}

TEST_F(GridFormats, Netcdf) {
    const std::string path = folder_ / "tmax.nc";
    write_netcdf(path, kShape, 12,
                 {{"tmax", "degrees_celsius", at_cell_centres(kShape, linear_tmax_c), 0.1}});
    const auto grid = opened(tmax_spec(path));
    expect_field(*grid, linear_tmax_c, 1e-5);
    EXPECT_TRUE(grid->warnings().empty()) << grid->warnings().front();
    EXPECT_EQ(grid->files(), std::vector<std::string>{path});
    GridSpec named = tmax_spec(path);
    named.netcdf_variable = "tmax";
    expect_field(*opened(named), linear_tmax_c, 1e-5);
}

TEST_F(GridFormats, NetcdfSouthUpWithTwoVariables) {
    RasterShape shape = kShape;
    shape.geotransform = {8.0, 0.25, 0.0, 42.0, 0.0, 0.25};
    const std::string path = folder_ / "both.nc";
    const auto tmin = [](LatLon at, int month) { return linear_tmax_c(at, month) - 11.0; };
    write_netcdf(path, shape, 12,
                 {{"tmax", "degC", at_cell_centres(shape, linear_tmax_c)},
                  {"tmin", "degC", at_cell_centres(shape, tmin)}});
    GridSpec spec = tmax_spec(path);
    spec.netcdf_variable = "tmin";
    expect_field(*opened(spec), tmin, 1e-5);
    spec.netcdf_variable = "tmax";
    const auto grid = opened(spec);
    expect_field(*grid, linear_tmax_c, 1e-5);
    EXPECT_EQ(grid->files(), std::vector<std::string>{path});
}

TEST_F(GridFormats, AsciiGridsWithoutCoordinateSystemMonthByMonth) {
    RasterShape shape = kShape;
    shape.coordinate_system.clear();
    for (int month = 0; month < kMonths; ++month) {
        const auto one = [month](LatLon at, int) { return linear_tmax_c(at, month); };
        write_raster(folder_.numbered(month < 9 ? "tmax_0" : "tmax_", month + 1, ".asc"), shape, 1,
                     at_cell_centres(shape, one),
                     {.driver = "AAIGrid",
                      .missing_mark = -9999,
                      .creation = {"DECIMAL_PRECISION=9", "FORCE_CELLSIZE=YES"}});
    }
    const auto grid = opened(tmax_spec(folder_ / "tmax_{month:02}.asc"));
    expect_field(*grid, linear_tmax_c, 1e-5);
    ASSERT_FALSE(grid->warnings().empty());
    EXPECT_NE(grid->warnings().front().find("WGS 84"), std::string::npos);
    EXPECT_EQ(grid->files().size(), 12U);
}

TEST_F(GridFormats, TwelveTiffsByPlainMonthNumber) {
    for (int month = 0; month < kMonths; ++month) {
        const auto one = [month](LatLon at, int) { return linear_tmax_c(at, month); };
        write_raster(folder_.numbered("m", month + 1, ".tif"), kShape, 1,
                     at_cell_centres(kShape, one));
    }
    const auto grid = opened(tmax_spec(folder_ / "m{month}.tif"));
    expect_field(*grid, linear_tmax_c, 1e-5);
    ASSERT_EQ(grid->files().size(), 12U);
    EXPECT_EQ(grid->files()[11], folder_ / "m12.tif");
}

TEST_F(GridFormats, BandInterleavedByLine) {
    const std::string path = folder_ / "tmax.bil";
    write_raster(path, kShape, 12, at_cell_centres(kShape, linear_tmax_c),
                 {.driver = "EHdr", .type = GDT_Float32});
    const auto grid = opened(tmax_spec(path));
    expect_field(*grid, linear_tmax_c, 1e-4);
    EXPECT_GE(grid->files().size(), 2U) << "the header is an input as well";
}

TEST_F(GridFormats, WithinZipAndGzip) {
    const std::string plain = folder_ / "tmax.tif";
    write_raster(plain, kShape, 12, at_cell_centres(kShape, linear_tmax_c));
    const std::string in_zip = "/vsizip/" + (folder_ / "a.zip") + "/deep/tmax.tif";
    copy_file(plain, in_zip);
    const auto zipped = opened(tmax_spec(in_zip));
    expect_field(*zipped, linear_tmax_c, 1e-5);
    EXPECT_EQ(zipped->files(), std::vector<std::string>{in_zip});
    const std::string in_gz = "/vsigzip/" + (folder_ / "tmax.tif.gz");
    copy_file(plain, in_gz);
    expect_field(*opened(tmax_spec(in_gz)), linear_tmax_c, 1e-5);
    VSIStatBufL status;
    EXPECT_NE(VSIStatL((folder_ / "tmax.tif.gz.properties").c_str(), &status), 0)
        << "nothing is written beside an input";
}

TEST_F(GridFormats, SouthUpAndWestwards) {
    RasterShape shape = kShape;
    shape.geotransform = {16.0, -0.25, 0.0, 42.0, 0.0, 0.25};
    const std::string path = folder_ / "upside_down.tif";
    write_raster(path, shape, 12, at_cell_centres(shape, linear_tmax_c));
    expect_field(*opened(tmax_spec(path)), linear_tmax_c, 1e-5);
}

TEST_F(GridFormats, LongitudesFromZeroTo360) {
    const RasterShape shape = north_up(0.0, 90.0, 2.0, 180, 90);
    const auto field = [](LatLon at, int month) {
        return month + 10.0 * std::cos((at.lon_deg - 30.0) * M_PI / 180.0) + at.lat_deg / 10.0;
    };
    const std::string path = folder_ / "world360.tif";
    write_raster(path, shape, 12, at_cell_centres(shape, field));
    const std::string netcdf = folder_ / "world360.nc";
    write_netcdf(netcdf, shape, 12, {{"tmax", "degC", at_cell_centres(shape, field)}});
    for (const std::string& each : {path, netcdf}) {
        const auto grid = opened(tmax_spec(each));
        for (const LatLon at : {LatLon{10, -75.3}, LatLon{10, 284.7}, LatLon{-33, 0.0},
                                LatLon{-33, -0.4}, LatLon{60, 180.0}, LatLon{60, -180.0}}) {
            // Half the second derivative times a quarter of the cell squared: 1.5e-3.
            EXPECT_NEAR(sample_at(*grid, at).values[3], field(at, 3), 2e-3) << at.lon_deg;
        }
        EXPECT_TRUE(sample_at(*grid, {0, 0}).inland) << "across the seam";
    }
}

TEST_F(GridFormats, RotatedGeographic) {
    RasterShape shape = kShape;
    const double c = 0.25 * std::cos(0.5);
    const double s = 0.25 * std::sin(0.5);
    shape.columns = shape.rows = 60;
    shape.geotransform = {2.0, c, s, 47.0, s, -c};
    const std::string path = folder_ / "rotated.tif";
    write_raster(path, shape, 12, at_cell_centres(shape, linear_tmax_c));
    const auto grid = opened(tmax_spec(path));
    EXPECT_FALSE(grid->place(PointBlock{{45.0}, {10.0}}).separable);
    for (const LatLon& at : kPlaces) {
        EXPECT_NEAR(sample_at(*grid, at).values[7], linear_tmax_c(at, 7), 1e-5);
    }
    EXPECT_TRUE(std::isnan(sample_at(*grid, {47.5, 2.0}).values[0]));
}

TEST_F(GridFormats, ProjectedRastersAgainstTheFieldItself) {
    // 5 km cells over the same ground: UTM zone 33, and Lambert azimuthal in its official axis
    // order.
    RasterShape utm{150, 160, {-80000.0, 5000.0, 0.0, 5380000.0, 0.0, -5000.0}, "EPSG:32633"};
    RasterShape laea{190, 190, {4100000.0, 5000.0, 0.0, 2900000.0, 0.0, -5000.0}, "EPSG:3035"};
    for (const RasterShape& shape : {utm, laea}) {
        const std::string path = folder_ / "projected.tif";
        write_raster(path, shape, 12, at_cell_centres(shape, linear_tmax_c));
        const auto grid = opened(tmax_spec(path));
        for (const LatLon& at : kPlaces) {
            const GridSample sample = sample_at(*grid, at);
            // The field bends by some 1e-5 °C within a cell of this size.
            EXPECT_NEAR(sample.values[7], linear_tmax_c(at, 7), 2e-4) << shape.coordinate_system;
            EXPECT_TRUE(sample.inland);
        }
        for (const LatLon far : {LatLon{0, -170}, LatLon{-45, -168}, LatLon{45, -170},
                                 LatLon{-90, 0}, LatLon{90, 0}, LatLon{30, 10}}) {
            EXPECT_TRUE(std::isnan(sample_at(*grid, far).values[0])) << far.lat_deg;
        }
        EXPECT_TRUE(grid->touches(9, 44, 11, 46));
        EXPECT_FALSE(grid->touches(-125, 24, -66, 50));
    }
}

TEST_F(GridFormats, MaskOfItsOwn) {
    const std::string path = folder_ / "masked.tif";
    write_raster(path, kShape, 12, at_cell_centres(kShape, linear_tmax_c));
    {
        CPLSetConfigOption("GDAL_TIFF_INTERNAL_MASK", "YES");
        const GDALDatasetUniquePtr file(
            GDALDataset::Open(path.c_str(), GDAL_OF_RASTER | GDAL_OF_UPDATE));
        ASSERT_NE(file, nullptr);
        ASSERT_EQ(file->CreateMaskBand(GMF_PER_DATASET), CE_None);
        std::vector<unsigned char> mask(32 * 24, 255);
        std::fill(mask.begin(), mask.begin() + 32 * 4, static_cast<unsigned char>(0));
        ASSERT_EQ(file->GetRasterBand(1)->GetMaskBand()->RasterIO(
                      GF_Write, 0, 0, 32, 24, mask.data(), 32, 24, GDT_Byte, 0, 0, nullptr),
                  CE_None);
        CPLSetConfigOption("GDAL_TIFF_INTERNAL_MASK", nullptr);
    }
    const auto grid = opened(tmax_spec(path));
    EXPECT_TRUE(std::isnan(sample_at(*grid, {47.9, 12.0}).values[0]));
    EXPECT_FALSE(std::isnan(sample_at(*grid, {46.9, 12.0}).values[0]));
}

TEST_F(GridFormats, ConvertsUnitsAndAppliesTheFactor) {
    const std::string path = folder_ / "wind.tif";
    write_raster(path, kShape, 12, [](int, int, int) { return 36.0; }, {.unit = "km/h"});
    GridSpec spec = spec_of(Variable::wind, "km/h", path);
    spec.value_factor = 0.748;  // 10 m to 2 m, FAO-56 eq. 47
    EXPECT_NEAR(sample_at(*opened(spec), {45, 12}).values[0], 7.48, 1e-5);
    spec.variable = Variable::rain;
    spec.unit = "mm/day";
    spec.value_factor = 1.0;
    const std::string rain = folder_ / "rain.tif";
    write_raster(rain, kShape, 12, [](int, int, int) { return 2.0; }, {.unit = "mm d-1"});
    spec.path = rain;
    const GridSample sample = sample_at(*opened(spec), {45, 12});
    EXPECT_NEAR(sample.values[0], 62.0, 1e-5);
    EXPECT_NEAR(sample.values[1], 56.5, 1e-5);
}

}  // namespace
}  // namespace thirstline
