// Whole sources that are not what the recipe says: each is refused with a sentence that names both
// sources, the likely cause and the keys to set, and the keys then make the build succeed.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/station_region.hpp"

namespace thirstline {
namespace {

using test::plain_climate;
using test::plain_station;
using test::Region;
using test::write_station_region;

std::string text_of(const Error& error) {
    return error.message + " | " + error.hint;
}

void expect_words(const Error& error, std::initializer_list<const char*> words) {
    EXPECT_EQ(static_cast<int>(error.code), static_cast<int>(ErrorCode::bad_input));
    for (const char* word : words)
        EXPECT_NE(text_of(error).find(word), std::string::npos) << word << "\n" << text_of(error);
}

/// Stations with the rain in another unit or scale.
void write_with_rain(Region& region, double factor) {
    write_station_region(region, [factor](Variable variable, int station, LatLon at, int month) {
        const double value = plain_station(variable, station, at, month);
        return variable == Variable::rain ? factor * value : value;
    });
}

TEST(SourceFaults, StationsInHundredthsAreRefused) {
    Region region;
    write_with_rain(region, 100.0);
    expect_words(region.build_error(),
                 {"rain of the stations", "100 times", "that of the grid \"rain of the Merrow\"",
                  "hundredths", "0.01", "[[stations]]", "recipe.toml:"});
}

TEST(SourceFaults, AGridInTenthsIsRefused) {
    Region region;
    write_with_rain(region, 0.1);
    expect_words(region.build_error(), {"0.1 times", "scale = 0.1 in the [[grid]]"});
}

TEST(SourceFaults, ASecondGridInTenthsIsRefused) {
    Region region;
    const RasterShape shape = north_up(8.0, 51.0, 0.5, 16, 16);
    region.add_plain_grids(shape);
    const auto tenths = [](LatLon at, int month) {
        return 10.0 * plain_climate(Variable::rain, at, month);
    };
    region.add_grid(Variable::rain, shape, tenths, "", "other");
    expect_words(region.build_error(), {"rain of the grid \"other of the Merrow\" is 10 times",
                                        "tenths", "set scale = 0.1 in the [[grid]]"});
}

TEST(SourceFaults, ScaleOfAGridIsAppliedBeforeItsUnit) {
    const RasterShape shape = north_up(8.0, 51.0, 0.5, 16, 16);
    Region plain;
    plain.add_plain_grids(shape);
    plain.build();
    Region scaled;
    for (const Variable variable : {Variable::tmax, Variable::tmin, Variable::vapour_pressure,
                                    Variable::wind, Variable::radiation})
        scaled.add_grid(variable, shape, test::plain(variable));
    scaled.add_grid(
        Variable::rain, shape,
        [](LatLon at, int month) { return 10.0 * plain_climate(Variable::rain, at, month); },
        "scale = 0.1\n");
    scaled.build();
    const auto expected = test::open_database(plain.path("out.sqlite"));
    const auto actual = test::open_database(scaled.path("out.sqlite"));
    const auto a = test::stored_at(*expected, LatticePoint{2, 3});
    const auto b = test::stored_at(*actual, LatticePoint{2, 3});
    ASSERT_TRUE(a.present && b.present);
    EXPECT_EQ(a.rain_mm, b.rain_mm);
}

TEST(SourceFaults, RejectsImpossibleRain) {
    Region region;
    const RasterShape shape = north_up(8.0, 51.0, 0.5, 16, 16);
    for (const Variable variable : {Variable::tmax, Variable::tmin, Variable::vapour_pressure,
                                    Variable::wind, Variable::radiation})
        region.add_grid(variable, shape, test::plain(variable));
    region.add_grid(Variable::rain, shape, [](LatLon at, int month) {
        return 40.0 * plain_climate(Variable::rain, at, month);
    });
    expect_words(region.build_error(), {"13,000 mm", "scale = 0.1"});
}

}  // namespace
}  // namespace thirstline
