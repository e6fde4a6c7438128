// [[stations]] of a recipe: every key is read, and errors are reported by line.
#include <gtest/gtest.h>

#include "tests/support/recipe_text.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::changed;
using test::StationTables;

const std::string kWide = R"(path = "tmax.csv"
layout = "wide"
variable = "tmax"
unit = "degF"
missing = [-99.9, -9999, "NA"]
encoding = "latin1"
country = "XM"
columns = { station = "ID", name = "Name", country = "Land", lat = "Lat", lon = "Lon", elevation = "Z", jan = "J1", feb = "J2", mar = "J3", apr = "J4", may = "J5", jun = "J6", jul = "J7", aug = "J8", sep = "J9", oct = "J10", nov = "J11", dec = "J12", years_tmax = "Years", flag_tmax = "Flag" }
units = { elevation = "ft" }
)";
const std::string kLong = R"(path = "*.csv"
layout = "long"
height_m = 3
wind_factor = 0.8
columns = { name = "Name", lat = "Lat", lon = "Lon", month = "M", tmax = "tx", wind = "ff", years_wind = "nw" }
units = { tmax = "degC", wind = "knot" }
)";

StationRecipe sound(const std::string& lines) {
    StationTables tables;
    tables.add_source({"Stations of the valley", lines});
    const auto recipe = tables.recipe();
    EXPECT_TRUE(recipe) << (recipe ? "" : recipe.error().message);
    return recipe ? recipe->stations.at(0) : StationRecipe{};
}

/// The lines of the sound source, from which the line of an error is counted.
void expect_error(const std::string& lines, const std::string& says) {
    SCOPED_TRACE(says);
    StationTables tables;
    tables.add_source({"Stations of the valley", lines});
    const auto recipe = tables.recipe();
    ASSERT_FALSE(recipe);
    EXPECT_EQ(recipe.error().code, ErrorCode::bad_input);
    EXPECT_TRUE(recipe.error().message.starts_with("merrow.toml:")) << recipe.error().message;
    EXPECT_NE(recipe.error().message.find(says), std::string::npos) << recipe.error().message;
    EXPECT_EQ(recipe.error().message.find('\n'), std::string::npos) << recipe.error().message;
}

TEST(StationRecipes, EveryKeyOfAWideTableArrives) {
    const StationRecipe stations = sound(kWide);
    EXPECT_EQ(stations.terms.name, "Stations of the valley");
    EXPECT_EQ(stations.terms.period, "1991-2020");
    EXPECT_EQ(stations.layout, StationLayout::wide);
    EXPECT_TRUE(stations.path.ends_with("/tmax.csv")) << stations.path;
    EXPECT_EQ(stations.missing, (std::vector<double>{-99.9, -9999.0}));
    EXPECT_EQ(stations.missing_words, (std::vector<std::string>{"NA"}));
    EXPECT_EQ(stations.format.encoding, "latin1");
    EXPECT_EQ(stations.country, "XM");
    EXPECT_EQ(stations.station_column, "ID");
    EXPECT_EQ(stations.name_column, "Name");
    EXPECT_EQ(stations.country_column, "Land");
    EXPECT_EQ(stations.lat_column, "Lat");
    EXPECT_EQ(stations.lon_column, "Lon");
    EXPECT_EQ(stations.elevation_column, "Z");
    EXPECT_EQ(stations.elevation_unit, "ft");
    for (std::size_t month = 0; month < kMonths; ++month)
        EXPECT_EQ(stations.month_columns[month], "J" + std::to_string(month + 1));
    ASSERT_EQ(stations.variables.size(), 1U);
    EXPECT_EQ(stations.variables[0].variable, Variable::tmax);
    EXPECT_EQ(stations.variables[0].unit, "degF");
    EXPECT_EQ(stations.variables[0].years_column, "Years");
    EXPECT_EQ(stations.variables[0].flag_column, "Flag");
    EXPECT_TRUE(stations.where.starts_with("merrow.toml:")) << stations.where;
}

TEST(StationRecipes, EveryKeyOfALongTableArrives) {
    const StationRecipe stations = sound(kLong);
    EXPECT_EQ(stations.layout, StationLayout::by_month);
    EXPECT_EQ(stations.month_column, "M");
    EXPECT_EQ(stations.height_m, 3.0);
    EXPECT_EQ(stations.wind_factor, 0.8);
    EXPECT_EQ(stations.format.encoding, "UTF-8");
    EXPECT_EQ(stations.elevation_unit, "m");
    EXPECT_TRUE(stations.missing.empty());
    ASSERT_EQ(stations.variables.size(), 2U);
    EXPECT_EQ(stations.variables[0].variable, Variable::tmax);
    EXPECT_EQ(stations.variables[0].column, "tx");
    EXPECT_EQ(stations.variables[0].years_column, "");
    EXPECT_EQ(stations.variables[1].variable, Variable::wind);
    EXPECT_EQ(stations.variables[1].unit, "knot");
    EXPECT_EQ(stations.variables[1].years_column, "nw");
}

TEST(StationRecipes, StationsOfEtoNameTheirEquationAndSurface) {
    const std::string eto =
        "path = \"e.csv\"\nlayout = \"long\"\ncolumns = { lat = \"a\", lon = "
        "\"b\", month = \"m\", eto = \"e\" }\nunits = { eto = \"mm/day\" }\n";
    EXPECT_EQ(sound(eto + "reference = \"short\"\nequation = \"FAO-56\"\n").eto_equation, "FAO-56");
    expect_error(eto + "reference = \"short\"\n", "lacks the key \"equation\"");
    expect_error(eto + "reference = \"tall\"\nequation = \"ASCE-EWRI 2005\"\n",
                 "this source of ETo is of the tall reference");
}

TEST(StationRecipes, WhatIsMissingIsNamed) {
    expect_error(changed(kWide, "layout = \"wide\"\n", ""), "lacks the key \"layout\"");
    expect_error(changed(kWide, "variable = \"tmax\"\n", ""), "lacks the key \"variable\"");
    expect_error(changed(kWide, "unit = \"degF\"\n", ""), "lacks the key \"unit\"");
    expect_error(changed(kWide, "path = \"tmax.csv\"\n", ""), "lacks the key \"path\"");
    expect_error(changed(kWide, "lat = \"Lat\", ", ""), "lacks the key \"lat\"");
    expect_error(changed(kWide, "jun = \"J6\", ", ""), "lacks the key \"jun\"");
    expect_error(changed(kLong, "month = \"M\", ", ""), "lacks the key \"month\"");
    expect_error("path = \"a.csv\"\nlayout = \"long\"\n", "lacks the key \"columns\"");
    expect_error(changed(kLong, "tmax = \"degC\", ", ""),
                 "names the column of \"tmax\" but not its unit; add tmax = \"degC\" to units");
    expect_error(changed(kLong, "units = { tmax = \"degC\", wind = \"knot\" }\n", ""),
                 "but not its unit; add units = { tmax = \"degC\" }");
    expect_error(
        "path = \"a.csv\"\nlayout = \"long\"\ncolumns = { lat = \"a\", lon = \"b\", month = "
        "\"m\" }\n",
        "names no column of a variable");
}

TEST(StationRecipes, WhatIsMisspeltNamesTheNearest) {
    expect_error(changed(kWide, "layout = \"wide\"", "layout = \"wied\""),
                 "did you mean \"wide\"?");
    expect_error(changed(kWide, "variable = \"tmax\"", "variable = \"tmx\""),
                 "did you mean \"tmax\"?");
    expect_error(changed(kWide, "unit = \"degF\"", "unit = \"F\""), "did you mean \"degF\"?");
    expect_error(changed(kWide, "missing = ", "mising = "), "did you mean \"missing\"?");
    expect_error(changed(kWide, "elevation = \"Z\"", "elevaton = \"Z\""),
                 "did you mean \"elevation\"?");
    expect_error(changed(kWide, "jan = ", "jann = "), "did you mean \"jan\"?");
    expect_error(changed(kWide, "years_tmax", "years_tmx"), "did you mean \"years_tmax\"?");
    expect_error(changed(kWide, "elevation = \"ft\"", "elevation = \"feet\""),
                 "did you mean \"ft\"?");
    expect_error(changed(kLong, "wind = \"ff\"", "wnd = \"ff\""), "did you mean \"wind\"?");
    expect_error(changed(kLong, "years_wind", "years_wnd"), "did you mean \"years_wind\"?");
    expect_error(changed(kLong, "wind = \"knot\"", "wind = \"knots\""), "did you mean \"knot\"?");
    expect_error(changed(kLong, "height_m = 3", "hight_m = 3"), "did you mean \"height_m\"?");
}

TEST(StationRecipes, WhatDoesNotBelongThereIsRefused) {
    expect_error(kWide + "height_m = 10\n", "unknown key \"height_m\"");
    expect_error(kLong + "variable = \"tmax\"\n", "unknown key \"variable\"");
    expect_error(changed(kLong, "tmax = \"degC\"", "tmax = \"degC\", rain = \"mm\""),
                 "unknown key \"rain\"");
    expect_error(changed(kWide, "missing = [-99.9, -9999, \"NA\"]", "missing = -99.9"),
                 "must be a list of numbers");
    expect_error(changed(kWide, "missing = [-99.9, -9999, \"NA\"]", "missing = [nan]"),
                 "must be a list of numbers");
    expect_error(changed(kWide, "encoding = \"latin1\"", "encoding = \"UTF-16\""),
                 "\"UTF-16\" is not a supported encoding");
    expect_error(changed(kLong, "height_m = 3", "height_m = 0.1"), "number from 0.6");
}

/// A recipe without the grid of ETo that makes any other complete.
Result<Recipe> of_stations_alone(const std::string& variables, const std::string& units,
                                 const std::string& grids) {
    StationTables tables;
    tables.add_source({"Stations",
                       "path = \"a.csv\"\nlayout = \"long\"\ncolumns = { lat = \"a\", "
                       "lon = \"b\", month = \"m\", " +
                           variables + " }\nunits = { " + units + " }\n"});
    return tables.recipe(grids.empty() ? "\n" : grids);
}

TEST(StationRecipes, GridsAndStationsTogetherMakeReferenceEt) {
    const std::string tmin_grid =
        "[[grid]]\nname = \"Cold\"\nvariable = \"tmin\"\npath = \"tmin.tif\"\nunit = \"degC\"\n"
        "period = \"1991-2020\"\nlicence = \"CC0-1.0\"\nattribution = \"Merrow Weather Office\"\n";
    const std::string tmax = "tmax = \"tx\"";
    EXPECT_TRUE(
        of_stations_alone(tmax + ", tmin = \"tn\"", "tmax = \"degC\", tmin = \"degC\"", ""));
    EXPECT_TRUE(of_stations_alone(tmax, "tmax = \"degC\"", tmin_grid));
    const auto one = of_stations_alone(tmax, "tmax = \"degC\"", "");
    ASSERT_FALSE(one);
    EXPECT_NE(one.error().message.find("in [[grid]] or [[stations]]"), std::string::npos);
}

TEST(StationRecipes, StationsNeedElevation) {
    const std::string rain =
        "[[stations]]\nname = \"Rain\"\nperiod = \"1991-2020\"\nlicence = \"CC0-1.0\"\n"
        "attribution = \"Merrow Weather Office\"\npath = \"a.csv\"\nlayout = \"long\"\n"
        "columns = { lat = \"a\", lon = \"b\", month = \"m\", rain = \"p\" }\n"
        "units = { rain = \"mm\" }\n";
    const std::string without =
        changed(test::kSoundRecipe, "[elevation]\npath = \"elevation.tif\"\nunit = \"m\"\n", "");
    StationTables tables;
    tables.add_file("sound.toml", test::kSoundRecipe + rain);
    EXPECT_TRUE(read_recipe(tables.path("sound.toml")));
    tables.add_file("without.toml", without + rain);
    const auto recipe = read_recipe(tables.path("without.toml"));
    ASSERT_FALSE(recipe);
    EXPECT_NE(recipe.error().message.find("lacks the table [elevation]"), std::string::npos);
}

TEST(StationRecipes, PeriodsOfStationsCountToo) {
    StationTables tables;
    for (int i = 0; i < 7; ++i)
        tables.add_source({"Stations", kLong, "period " + std::to_string(i)});
    const auto recipe = tables.recipe();  // its grid has the eighth
    ASSERT_FALSE(recipe);
    EXPECT_NE(recipe.error().message.find("seven different periods"), std::string::npos);
}

}  // namespace
}  // namespace thirstline
