// Keys of a recipe that fit it to tables as they are published: every key is read, and errors are
// reported by line.
#include <gtest/gtest.h>

#include "tests/support/recipe_text.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::changed;
using test::StationTables;

const std::string kElements = R"(path = "all.zip/*.csv"
layout = "wide"
separator = ";"
decimal = ","
skip_rows = 3
header = "NAME"
zero = [-7777, "T"]
flags = { A = "standard", C = "short", X = "not stated" }
where = { PERIOD = "Normal", tmax = { ELEMENT = "Maximum" }, rain = { ELEMENT = ["Rain", "Precipitation"] } }
units = { tmax = "degC", rain = "mm" }
scale = { tmax = 0.1 }
offset = { tmax = -73 }
columns = { name = "NAME", flag = "Code", flag_rain = "RainCode", jan = "J1", feb = "J2", mar = "J3", apr = "J4", may = "J5", jun = "J6", jul = "J7", aug = "J8", sep = "J9", oct = "J10", nov = "J11", dec = "J12" }
positions = { path = "list.txt", key = { NAME = "STATION" }, lat = "LAT", lon = "LON", elevation = "Z", country = "C", encoding = "latin1", where = { KIND = "new" }, fixed_width = { STATION = "1-11", LAT = "13-20" } }
)";

Result<Recipe> recipe_of(const std::string& lines) {
    StationTables tables;
    tables.add_source({"Stations of the valley", lines});
    return tables.recipe();
}

void expect_not_valid(const std::string& lines, const std::string& says,
                      const std::string& hint = "") {
    SCOPED_TRACE(says);
    const auto recipe = recipe_of(lines);
    ASSERT_FALSE(recipe);
    EXPECT_TRUE(recipe.error().message.starts_with("merrow.toml:")) << recipe.error().message;
    EXPECT_NE(recipe.error().message.find(says), std::string::npos) << recipe.error().message;
    EXPECT_NE(recipe.error().hint.find(hint), std::string::npos) << recipe.error().hint;
}

TEST(TableKeys, AllArrive) {
    const auto recipe = recipe_of(kElements);
    ASSERT_TRUE(recipe) << recipe.error().message;
    const StationRecipe& stations = recipe->stations.at(0);
    EXPECT_EQ(stations.format.separator, ';');
    EXPECT_TRUE(stations.format.decimal_comma);
    EXPECT_EQ(stations.format.skip_rows, 3);
    EXPECT_EQ(stations.format.header, "NAME");
    EXPECT_EQ(stations.zero, std::vector<double>{-7777.0});
    EXPECT_EQ(stations.zero_words, std::vector<std::string>{"T"});
    ASSERT_TRUE(stations.flags);
    EXPECT_EQ(stations.flags->at("A"), RecordLength::standard_normal);
    EXPECT_EQ(stations.flags->at("C"), RecordLength::short_record);
    EXPECT_EQ(stations.flags->at("X"), RecordLength::not_stated);
    ASSERT_EQ(stations.rows.size(), 1U);
    EXPECT_EQ(stations.rows[0].column, "PERIOD");
    EXPECT_EQ(stations.rows[0].values, std::vector<std::string>{"Normal"});
    ASSERT_EQ(stations.variables.size(), 2U);
    const StationVariable& tmax = stations.variables[0];
    EXPECT_EQ(tmax.variable, Variable::tmax);
    EXPECT_EQ(tmax.scale, 0.1);
    EXPECT_EQ(tmax.offset, -73.0);
    EXPECT_EQ(tmax.rows.at(0).values, std::vector<std::string>{"Maximum"});
    EXPECT_EQ(tmax.flag_column, "Code");
    EXPECT_EQ(stations.variables[1].rows.at(0).values.size(), 2U);
    EXPECT_EQ(stations.variables[1].flag_column, "RainCode");
    ASSERT_TRUE(stations.positions);
    EXPECT_TRUE(stations.positions->path.ends_with("/list.txt"));
    EXPECT_EQ(stations.positions->station_columns, std::vector<std::string>{"NAME"});
    EXPECT_EQ(stations.positions->key_columns, std::vector<std::string>{"STATION"});
    EXPECT_EQ(stations.positions->country_column, "C");
    EXPECT_EQ(stations.positions->format.encoding, "latin1");
    EXPECT_EQ(stations.positions->rows.at(0).column, "KIND");
    ASSERT_EQ(stations.positions->format.fixed.size(), 2U);
    EXPECT_EQ(stations.positions->format.fixed[0].name, "LAT");
    EXPECT_EQ(stations.positions->format.fixed[0].first, 13U);
    EXPECT_EQ(stations.positions->format.fixed[0].last, 20U);
}

TEST(TableKeys, FormsThatAreNotValid) {
    expect_not_valid(changed(kElements, "separator = \";\"", "separator = \"; \""),
                     "is not a single character between fields");
    expect_not_valid(changed(kElements, "separator = \";\"", "separator = \"a\""),
                     "is not a single character between fields");
    expect_not_valid(changed(kElements, "decimal = \",\"", "decimal = \";\""),
                     "the key \"decimal\" of [[stations]] must be \".\" or \",\", not \";\"");
    expect_not_valid(changed(kElements, "skip_rows = 3", "skip_rows = -1"),
                     "must be a whole number from 0 to 1000");
    expect_not_valid(changed(kElements, "skip_rows = 3", "skip_rows = 1.5"),
                     "must be a whole number");
    expect_not_valid(changed(kElements, "LAT = \"13-20\"", "LAT = \"20-13\""),
                     "\"20-13\" is not a range of characters of a line");
    expect_not_valid(changed(kElements, "encoding = \"latin1\"", "separator = \";\""),
                     "has both \"fixed_width\" and \"separator\"");
    expect_not_valid(changed(kElements, "scale = { tmax = 0.1 }", "scale = { tmin = 0.1 }"),
                     "unknown key \"tmin\" in scale of [[stations]]");
    expect_not_valid(changed(kElements, "offset = { tmax = -73 }", "offset = { tmax = 1e9 }"),
                     "must be a number from -1e+06 to 1e+06");
}

TEST(TableKeys, RowsOfVariables) {
    expect_not_valid(changed(kElements, "rain = { ELEMENT", "rian = { ELEMENT"),
                     "unknown key \"rian\" in where of [[stations]]; did you mean \"rain\"?");
    expect_not_valid(changed(changed(kElements, "tmax = { ELEMENT", "tmx = { ELEMENT"),
                             ", rain = { ELEMENT = [\"Rain\", \"Precipitation\"] }", ""),
                     "unknown key \"tmx\" in where of [[stations]]; did you mean \"tmax\"?");
    expect_not_valid(changed(kElements, "PERIOD = \"Normal\"", "PERIOD = 1991"),
                     "the key \"PERIOD\" of where of [[stations]] must be");
    expect_not_valid(changed(kElements, "tmax = { ELEMENT = \"Maximum\" }", "tmax = {}"),
                     "where of \"tmax\" is empty");
    expect_not_valid(changed(kElements, "units = { tmax = \"degC\", rain = \"mm\" }\n",
                             "units = { tmax = \"degC\" }\n"),
                     "names the rows of \"rain\" but not its unit; add rain = \"mm\" to units");
    expect_not_valid(
        "variable = \"tmax\"\nunit = \"degC\"\n" +
            changed(kElements, "scale = { tmax = 0.1 }\noffset = { tmax = -73 }\n", ""),
        "has one \"variable\", and its where the rows of \"rain\"");
    expect_not_valid(
        "path = \"a.csv\"\nlayout = \"long\"\nwhere = { rain = { E = \"R\" } }\ncolumns = { "
        "lat = \"a\", lon = \"b\", month = \"m\", tmax = \"t\" }\nunits = { tmax = \"degC\" "
        "}\n",
        "where names the rows of \"rain\", of which columns names no column");
}

TEST(TableKeys, FlagsAndPositions) {
    const std::string flags = "flags = { A = \"standard\", C = \"short\", X = \"not stated\" }";
    expect_not_valid(changed(kElements, flags, "flags = \"ecc\""),
                     "\"ecc\" is not a set of flags; did you mean \"eccc\"?", "ncei-1991");
    expect_not_valid(changed(kElements, flags, "flags = { A = \"standart\" }"),
                     "\"standart\" is not a meaning of a flag; did you mean \"standard\"?");
    expect_not_valid(changed(kElements, "key = { NAME = \"STATION\" }, ", ""),
                     "positions of [[stations]] lacks the key \"key\"");
    expect_not_valid(changed(kElements, "key = { NAME = \"STATION\" }", "key = {}"),
                     "key of positions is empty");
    expect_not_valid(changed(kElements, "elevation = \"Z\"", "elevaton = \"Z\""),
                     "unknown key \"elevaton\" in positions of [[stations]]; did you mean "
                     "\"elevation\"?");
}

TEST(TableKeys, KindsAndValuesThatAreNotValid) {
    const auto refuse = [](const std::string& from, const std::string& to, const std::string& says,
                           const std::string& hint = "") {
        expect_not_valid(changed(kElements, from, to), says, hint);
    };
    refuse("separator = \";\"", "separator = 5", "the key \"separator\" of [[stations]] must be");
    refuse("header = \"NAME\"", "header = 1", "the key \"header\" of [[stations]] must be");
    refuse("zero = [-7777, \"T\"]", "zero = true",
           "the key \"zero\" of [[stations]] must be a list of numbers, such as [-7777]");
    refuse("zero = [-7777, \"T\"]", "zero = [nan]",
           "the key \"zero\" of [[stations]] must be a list of numbers");
    refuse("scale = { tmax = 0.1 }", "scale = { tmax = 0 }",
           "must be a number from 1e-06 to 1e+06");
    refuse("scale = { tmax = 0.1 }", "scale = { tmax = \"0.1\" }",
           "\"tmax\" of scale of [[stations]] must be a number");
    refuse("scale = { tmax = 0.1 }", "scale = 0.1", "the key \"scale\" of [[stations]] must be");
    refuse("offset = { tmax = -73 }", "offset = { tmax = true }",
           "\"tmax\" of offset of [[stations]] must be a number");
    refuse("encoding = \"latin1\"", "encoding = \"latin-37\"", "latin-37");
    refuse("\"Rain\", \"Precipitation\"", "\"Rain\", 5",
           "the key \"ELEMENT\" of where of rain must be a list of texts");
    refuse("LAT = \"13-20\"", "LAT = \"13\"", "\"13\" is not a range of characters of a line");
    refuse("LAT = \"13-20\"", "LAT = \"0-20\"", "\"0-20\" is not a range of characters of a line");
    refuse("fixed_width = { STATION = \"1-11\", LAT = \"13-20\" }", "fixed_width = {}",
           "fixed_width of positions of [[stations]] names no column");
    refuse("encoding = \"latin1\"", "header = \"STATION\"",
           "has both \"fixed_width\" and \"header\"");
    refuse("path = \"list.txt\", ", "", "positions of [[stations]] lacks the key \"path\"");
    refuse("lon = \"LON\", ", "", "positions of [[stations]] lacks the key \"lon\"");
    refuse("flags = { A = \"standard\"", "flags = { A = 5",
           "the key \"A\" of flags of [[stations]] must be");
    refuse("flags = { A = \"standard\", C = \"short\", X = \"not stated\" }", "flags = 5",
           "the key \"flags\" of [[stations]] must be");
    expect_not_valid(
        kElements.substr(0, kElements.find("positions")) + "positions = \"list.txt\"\n",
        "\"positions\" of [[stations]] must be a table");
}

TEST(TableKeys, APostalTableHasThemToo) {
    const std::string recipe =
        changed(test::kSoundRecipe, "layout = \"csv\"\n", "layout = \"csv\"\nseparator = \"|\"\n");
    StationTables tables;
    tables.add_file("r.toml", recipe);
    const auto read = read_recipe(tables.path("r.toml"));
    ASSERT_TRUE(read) << read.error().message;
    EXPECT_EQ(read->postal.at(0).format.separator, '|');
}

}  // namespace
}  // namespace thirstline
