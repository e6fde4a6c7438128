#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

Result<void> check(const RasterShape& shape, const CellValues& values, Variable variable,
                   const std::string& unit) {
    const TempFolder folder;
    const std::string path = folder / "a.tif";
    write_raster(path, shape, variable == Variable::elevation ? 1 : 12, values,
                 {.type = GDT_Float32, .creation = {"TILED=YES", "COMPRESS=DEFLATE"}});
    GridSpec spec = spec_of(variable, unit, path);
    return opened(spec)->check_unit_plausible();
}

const RasterShape kSmall = north_up(8.0, 48.0, 0.5, 6, 5);
const RasterShape kLarge = north_up(-180.0, 90.0, 0.5, 720, 360);

TEST(UnitPlausible, KelvinGivenAsCelsius) {
    for (const RasterShape& shape : {kSmall, kLarge}) {
        const auto kelvin = at_cell_centres(
            shape, [](LatLon at, int) { return 303.15 - std::abs(at.lat_deg) / 2.0; });
        EXPECT_TRUE(check(shape, kelvin, Variable::tmax, "K"));
        const Result<void> wrong = check(shape, kelvin, Variable::tmax, "degC");
        ASSERT_FALSE(wrong);
        EXPECT_EQ(static_cast<int>(wrong.error().code), static_cast<int>(ErrorCode::bad_input));
        EXPECT_NE(wrong.error().message.find("unit = \"degC\" cannot be right"), std::string::npos)
            << wrong.error().message;
        EXPECT_NE(wrong.error().message.find("° N"), std::string::npos) << wrong.error().message;
    }
}

TEST(UnitPlausible, OtherMistakes) {
    const auto watts = [](int, int, int) { return 200.0; };
    EXPECT_TRUE(check(kSmall, watts, Variable::radiation, "W/m2"));
    EXPECT_FALSE(check(kSmall, watts, Variable::radiation, "MJ/m2/day"));
    const auto percent = [](int, int, int) { return 60.0; };
    EXPECT_FALSE(check(kSmall, percent, Variable::cloud, "fraction"));
    const auto share = [](int, int, int) { return 0.6; };
    EXPECT_FALSE(check(kSmall, share, Variable::relative_humidity, "%"));
    const auto hectopascal = [](int, int, int) { return 14.0; };
    EXPECT_FALSE(check(kSmall, hectopascal, Variable::vapour_pressure, "kPa"));
}

TEST(UnitPlausible, AcceptsAFewBadCells) {
    const auto a_third_bad = [](int column, int row, int) {
        return (column + row) % 3 == 0 ? 500.0 : 20.0;
    };
    EXPECT_TRUE(check(kLarge, a_third_bad, Variable::tmax, "degC"));
    const auto most_bad = [](int column, int row, int) {
        return (column + row) % 3 == 0 ? 20.0 : 500.0;
    };
    EXPECT_FALSE(check(kLarge, most_bad, Variable::tmax, "degC"));
    EXPECT_TRUE(check(
        kSmall, [](int, int, int) { return std::nan(""); }, Variable::tmax, "degC"))
        << "nothing known, nothing wrong";
}

TEST(UnitPlausible, FindsLandInAWideSea) {
    const auto island = [](int column, int row, int) {
        return column > 350 && column < 360 && row > 150 && row < 170 ? 295.0 : std::nan("");
    };
    EXPECT_FALSE(check(kLarge, island, Variable::tmax, "degC"));
    EXPECT_TRUE(check(kLarge, island, Variable::tmax, "K"));
}

}  // namespace
}  // namespace thirstline
