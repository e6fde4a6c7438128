#include <gtest/gtest.h>

#include <cmath>
#include <fstream>

#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

const RasterShape kFaultyShape = north_up(8.0, 48.0, 0.5, 16, 12);

class GridErrors : public testing::Test {
  protected:
    void SetUp() override { testing::internal::CaptureStderr(); }
    void TearDown() override {
        EXPECT_EQ(testing::internal::GetCapturedStderr(), "") << "a library spoke to the user";
    }

    std::string write(const std::string& name, int bands, const RasterOptions& options = {}) {
        const std::string path = folder_ / name;
        write_raster(path, kFaultyShape, bands, at_cell_centres(kFaultyShape, linear_tmax_c),
                     options);
        return path;
    }

    void write_month(const std::string& stem, int month, int bands) {
        write_raster(folder_.numbered(stem, month, ".tif"), kFaultyShape, bands,
                     at_cell_centres(kFaultyShape, linear_tmax_c));
    }

    static void expect_error(const GridSpec& spec, ErrorCode code,
                             const std::vector<std::string>& words) {
        const Error error = open_error(spec);
        EXPECT_EQ(static_cast<int>(error.code), static_cast<int>(code)) << error.message;
        EXPECT_EQ(error.message.find("recipe.toml:12: grid \"Merrow valley\": "), 0U)
            << error.message;
        EXPECT_EQ(error.message.find('\n'), std::string::npos) << error.message;
        for (const std::string& word : words) {
            EXPECT_NE(error.message.find(word), std::string::npos)
                << "\"" << word << "\" is not in: " << error.message;
        }
    }

    TempFolder folder_;
};

TEST_F(GridErrors, MissingFile) {
    expect_error(tmax_spec(folder_ / "none.tif"), ErrorCode::io, {"none.tif", "no file"});
    expect_error(tmax_spec("/vsizip/" + (folder_ / "none.zip") + "/a.tif"), ErrorCode::io,
                 {"none.zip"});
    expect_error(tmax_spec(folder_ / "none_{month:02}.tif"), ErrorCode::io, {"none_01.tif"});
}

TEST_F(GridErrors, NotARaster) {
    std::ofstream(folder_ / "notes.txt") << "The Merrow rises in the upland moors.\n";
    expect_error(tmax_spec(folder_ / "notes.txt"), ErrorCode::bad_input,
                 {"notes.txt", "cannot be read as a raster"});
    std::ofstream(folder_ / "empty.tif").flush();
    expect_error(tmax_spec(folder_ / "empty.tif"), ErrorCode::bad_input, {"empty.tif"});
}

TEST_F(GridErrors, WrongNumberOfBands) {
    expect_error(tmax_spec(write("eleven.tif", 11)), ErrorCode::bad_input,
                 {"11 bands", "needs 12"});
    expect_error(tmax_spec(write("one.tif", 1)), ErrorCode::bad_input, {"1 band,", "needs 12"});
    GridSpec elevation = spec_of(Variable::elevation, "m", write("twelve.tif", 12));
    expect_error(elevation, ErrorCode::bad_input, {"12 bands", "one is needed"});
    for (int month = 1; month <= 12; ++month) {
        write_month("two_", month, 2);
    }
    expect_error(tmax_spec(folder_ / "two_{month}.tif"), ErrorCode::bad_input,
                 {"two_1.tif", "2 bands"});
}

TEST_F(GridErrors, MissingMonths) {
    for (int month = 1; month <= 12; ++month) {
        if (month == 3 || month == 11) continue;
        write_month("m", month, 1);
    }
    expect_error(tmax_spec(folder_ / "m{month}.tif"), ErrorCode::bad_input,
                 {"March, November", "m{month}.tif"});
}

TEST_F(GridErrors, MonthsOfDifferentShape) {
    for (int month = 1; month <= 12; ++month) write_month("m", month, 1);
    const RasterShape moved = north_up(8.25, 48.0, 0.5, 16, 12);
    write_raster(folder_ / "m5.tif", moved, 1, at_cell_centres(moved, linear_tmax_c));
    expect_error(tmax_spec(folder_ / "m{month}.tif"), ErrorCode::bad_input,
                 {"m5.tif", "other cells"});
}

TEST_F(GridErrors, NetcdfVariables) {
    const CellValues values = at_cell_centres(kFaultyShape, linear_tmax_c);
    const std::string path = folder_ / "two.nc";
    write_netcdf(path, kFaultyShape, 12, {{"tasmax", "degC", values}, {"tasmin", "degC", values}});
    expect_error(tmax_spec(path), ErrorCode::bad_input, {"several variables", "netcdf_variable"});
    EXPECT_NE(open_error(tmax_spec(path)).hint.find("tasmax (12 layers), tasmin (12 layers)"),
              std::string::npos)
        << open_error(tmax_spec(path)).hint;
    GridSpec misspelt = tmax_spec(path);
    misspelt.netcdf_variable = "tasmaxx";
    expect_error(misspelt, ErrorCode::bad_input, {"\"tasmaxx\"", "did you mean \"tasmax\"?"});
    const std::string short_year = folder_ / "short.nc";
    write_netcdf(short_year, kFaultyShape, 10, {{"tmax", "degC", values}});
    expect_error(tmax_spec(short_year), ErrorCode::bad_input, {"10 bands"});
    GridSpec other = tmax_spec(short_year);
    other.netcdf_variable = "tmin";
    expect_error(other, ErrorCode::bad_input, {"\"tmin\"", "only one is \"tmax\""});
    GridSpec tiff = tmax_spec(write("plain.tif", 12));
    tiff.netcdf_variable = "tmax";
    expect_error(tiff, ErrorCode::bad_input, {"not a netCDF file", "remove netcdf_variable"});
}

TEST_F(GridErrors, OnlyTheVariableWithTwelveTimesIsMeant) {
    const std::string path = folder_ / "masked.nc";
    write_netcdf(path, kFaultyShape, 12,
                 {{"land", "1", [](int, int, int) { return 1.0; }, 1.0, false},
                  {"tmax", "degC", at_cell_centres(kFaultyShape, linear_tmax_c)}});
    const LatLon at{45.1, 12.2};
    EXPECT_NEAR(sample_at(*opened(tmax_spec(path)), at).values[2], linear_tmax_c(at, 2), 1e-5);
    GridSpec named = tmax_spec(path);
    named.netcdf_variable = "land";
    expect_error(named, ErrorCode::bad_input, {"1 band,", "needs 12"});
}

TEST_F(GridErrors, NetcdfTimesMustBeTheMonthsInOrder) {
    const CellValues values = at_cell_centres(kFaultyShape, linear_tmax_c);
    const auto write_times = [&](const NetcdfTimes& when) {
        const std::string path = folder_ / "times.nc";
        VSIUnlink(path.c_str());
        write_netcdf(path, kFaultyShape, 12, {{"tmax", "degC", values}}, when);
        return tmax_spec(path);
    };
    const std::vector<double> mid_months{15, 45, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349};
    const std::vector<double> ends{31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366};
    EXPECT_TRUE(opened(write_times({"days since 1976-01-01", mid_months})));
    EXPECT_TRUE(opened(write_times({"days since 1976-01-01 00:00:00", ends})))
        << "each month's end is the next one's first instant";
    EXPECT_TRUE(opened(write_times({"fortnights of old", mid_months}))) << "cannot be read";
    expect_error(write_times({"days since 1976-07-01", mid_months}), ErrorCode::bad_input,
                 {"January to December", "first time is in July"});
    std::vector<double> swapped = mid_months;
    std::swap(swapped[4], swapped[5]);
    expect_error(write_times({"days since 1976-01-01", swapped}), ErrorCode::bad_input,
                 {"fifth time is in June"});
    std::vector<double> days(12);
    for (std::size_t i = 0; i < days.size(); ++i) days[i] = 24.0 * static_cast<double>(i);
    expect_error(write_times({"hours since 1976-01-01", days}), ErrorCode::bad_input,
                 {"second time is in January"});
}

TEST_F(GridErrors, Units) {
    GridSpec unknown = tmax_spec(write("plain.tif", 12));
    unknown.unit = "celsius";
    expect_error(unknown, ErrorCode::bad_input, {"\"celsius\"", "\"degC\""});
    const GridSpec contradicted = tmax_spec(write("kelvin.tif", 12, {.unit = "K"}));
    expect_error(contradicted, ErrorCode::bad_input, {"\"K\"", "\"degC\"", "kelvin.tif"});
    const auto odd = opened(tmax_spec(write("odd.tif", 12, {.unit = "quarks"})));
    ASSERT_EQ(odd->warnings().size(), 1U);
    EXPECT_NE(odd->warnings().front().find("\"quarks\""), std::string::npos);
}

TEST_F(GridErrors, NowhereOnEarth) {
    RasterShape nowhere = kFaultyShape;
    nowhere.geotransform = {};
    write_raster(folder_ / "nowhere.tif", nowhere, 12, [](int, int, int) { return 10.0; });
    expect_error(tmax_spec(folder_ / "nowhere.tif"), ErrorCode::bad_input,
                 {"nowhere.tif", "no geotransform"});
    RasterShape no_system = kFaultyShape;
    no_system.coordinate_system.clear();
    write_raster(folder_ / "bare.tif", no_system, 12, [](int, int, int) { return 10.0; });
    expect_error(tmax_spec(folder_ / "bare.tif"), ErrorCode::bad_input,
                 {"bare.tif", "no coordinate system"});
    RasterShape metres = no_system;
    metres.geotransform = {500000.0, 1000.0, 0.0, 5000000.0, 0.0, -1000.0};
    write_raster(folder_ / "metres.asc", metres, 1, [](int, int, int) { return 10.0; },
                 {.driver = "AAIGrid"});
    GridSpec elevation = spec_of(Variable::elevation, "m", folder_ / "metres.asc");
    expect_error(elevation, ErrorCode::bad_input, {"metres.asc", "no coordinate system"});
}

TEST_F(GridErrors, DamagedFile) {
    const std::string path =
        write("cut.tif", 12, {.creation = {"COMPRESS=DEFLATE", "BLOCKYSIZE=1"}});
    std::string bytes;
    {
        std::ifstream in(path, std::ios::binary);
        bytes.assign(std::istreambuf_iterator<char>(in), {});
    }
    // Spoil the data of the last rows; the directory stands before them.
    std::fill(bytes.end() - 300, bytes.end(), '\x55');
    std::ofstream(path, std::ios::binary) << bytes;
    const auto grid = opened(tmax_spec(path));
    const Result<GridWindow> window = grid->read(
        grid->place(PointBlock{{42.1, 43, 44, 45, 46, 47}, {9, 10, 11, 12, 13, 14, 15}}));
    ASSERT_FALSE(window);
    EXPECT_EQ(static_cast<int>(window.error().code), static_cast<int>(ErrorCode::bad_input));
    EXPECT_NE(window.error().message.find("damaged"), std::string::npos);
}

TEST_F(GridErrors, Touching) {
    const auto grid = opened(tmax_spec(write("here.tif", 12)));  // 8…16° E, 42…48° N
    EXPECT_TRUE(grid->touches(-10, 40, 9, 43));
    EXPECT_TRUE(grid->touches(350, 40, 369, 43));
    EXPECT_TRUE(grid->touches(-180, -90, 180, 90));
    EXPECT_TRUE(grid->touches(10, 44, 11, 45)) << "wholly inside";
    EXPECT_TRUE(grid->touches(16, 48, 20, 50)) << "at a corner";
    EXPECT_FALSE(grid->touches(17, 40, 30, 50));
    EXPECT_FALSE(grid->touches(-10, 40, 7, 50));
    EXPECT_FALSE(grid->touches(8, 30, 16, 41));
    EXPECT_FALSE(grid->touches(170, 30, 200, 60)) << "across the antimeridian";
    const RasterShape fiji = north_up(175.0, -15.0, 0.5, 20, 10);  // 175…185° E
    write_raster(folder_ / "antimeridian.tif", fiji, 12, [](int, int, int) { return 25.0; });
    const auto across = opened(tmax_spec(folder_ / "antimeridian.tif"));
    EXPECT_TRUE(across->touches(-179, -20, -170, -10));
    EXPECT_TRUE(across->touches(170, -20, 176, -10));
    EXPECT_FALSE(across->touches(-174, -20, -170, -10));
    EXPECT_EQ(sample_at(*across, {-17.0, -177.0}).values[0], 25.0F);
    EXPECT_EQ(sample_at(*across, {-17.0, 183.0}).values[0], 25.0F);
}

}  // namespace
}  // namespace thirstline
