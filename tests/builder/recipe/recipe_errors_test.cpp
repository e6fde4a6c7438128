// Errors in recipes: each gives a sentence that names the file and the line, and the recipe is not
// used.
#include <gtest/gtest.h>

#include <algorithm>

#include "builder/recipe/recipe.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/raster_fixtures.hpp"
#include "tests/support/recipe_text.hpp"

namespace thirstline {
namespace {

using test::changed;
using test::kSoundRecipe;

class RecipeErrors : public testing::Test {
  protected:
    Error error_of(const std::string& text) const {
        const std::string path = folder_ / "merrow.toml";
        test::write_text(path, text);
        const auto recipe = read_recipe(path);
        if (!recipe) return recipe.error();
        ADD_FAILURE() << "accepted:\n" << text;
        return {};
    }

    /// The recipe with `from` turned into `to` fails at that line of it, saying all of `says`.
    void expect_error(const std::string& from, const std::string& to, int line,
                      std::initializer_list<std::string> says) const {
        SCOPED_TRACE(from + " -> " + to);
        const Error error = error_of(changed(kSoundRecipe, from, to));
        EXPECT_EQ(error.code, ErrorCode::bad_input);
        EXPECT_TRUE(error.message.starts_with("merrow.toml:" + std::to_string(line) + ": "))
            << error.message;
        for (const std::string& part : says)
            EXPECT_NE(error.message.find(part), std::string::npos) << error.message;
        EXPECT_EQ(std::count(error.message.begin(), error.message.end(), '\n'), 0);
        EXPECT_FALSE(error.message.ends_with('.')) << error.message;
    }

    /// Line of the sound recipe on which the text stands.
    static int line_of(const std::string& text) {
        const std::string recipe = kSoundRecipe;
        const auto at = recipe.find(text);
        EXPECT_NE(at, std::string::npos) << text;
        return 1 + static_cast<int>(std::count(
                       recipe.begin(), recipe.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
    }

    TempFolder folder_;
};

TEST_F(RecipeErrors, AFileThatIsNotThereIsAnErrorOfTheSystem) {
    const auto missing = read_recipe(folder_ / "nowhere.toml");
    ASSERT_FALSE(missing);
    EXPECT_EQ(missing.error().code, ErrorCode::io);
    EXPECT_NE(missing.error().message.find("nowhere.toml: No such file"), std::string::npos);
    const auto folder = read_recipe(folder_ / ".");
    ASSERT_FALSE(folder);
    EXPECT_EQ(folder.error().code, ErrorCode::io);
    EXPECT_NE(folder.error().message.find("folder"), std::string::npos);
}

TEST_F(RecipeErrors, AnEmptyFileLacksEverything) {
    const Error error = error_of("");
    EXPECT_EQ(error.code, ErrorCode::bad_input);
    EXPECT_NE(error.message.find("[baseline]"), std::string::npos) << error.message;
}

TEST_F(RecipeErrors, AreNamedAllAtOnceInTheOrderOfTheLines) {
    std::string text = kSoundRecipe;
    int line_of_variable = 0;
    for (const auto& [from, to] :
         {std::pair<std::string, std::string>{"region = \"upland\"", "regon = \"upland\""},
          {"spacing_arcsec = ", "spacing_arcsek = "},
          {"variable = \"tmin\"", "variable = \"tmni\""}}) {
        line_of_variable = line_of(from);
        text = changed(text, from, to);
    }
    const std::string message = error_of(text).message;
    const std::string expected[] = {
        "merrow.toml:3: unknown key \"regon\" in [baseline]; did you mean \"region\"?",
        "merrow.toml:" + std::to_string(line_of("spacing_arcsec")) +
            ": unknown key \"spacing_arcsek\" in [lattice]; did you mean \"spacing_arcsec\"?",
        "merrow.toml:" + std::to_string(line_of_variable) + ": the key \"variable\""};
    std::size_t at = 0;
    for (const std::string& fault : expected) {
        EXPECT_EQ(message.find(fault, at), at) << message;
        at = std::min(message.find('\n', at), message.size() - 1) + 1;
    }
    EXPECT_EQ(std::count(message.begin(), message.end(), '\n'), 2) << message;
}

TEST_F(RecipeErrors, WhatIsNotTomlIsNamedByLineAndColumn) {
    const Error error = error_of("[baseline]\ntitle = \"Merrow\"\nregion = valley\n");
    EXPECT_EQ(error.code, ErrorCode::bad_input);
    EXPECT_NE(error.message.find("merrow.toml:3:10: "), std::string::npos) << error.message;
    EXPECT_NE(error.message.find("not TOML"), std::string::npos) << error.message;
    EXPECT_EQ(error.message.find('\n'), std::string::npos);

    for (const char* text :
         {"[baseline", "title = ", "\x01", "a = 1\na = 2\n", "\xff\xfe", "= 3"}) {
        const Error each = error_of(text);
        EXPECT_EQ(each.code, ErrorCode::bad_input);
        EXPECT_NE(each.message.find("not TOML"), std::string::npos) << each.message;
        EXPECT_NE(each.message.find("merrow.toml:"), std::string::npos) << each.message;
    }
}

TEST_F(RecipeErrors, AMisspeltKeyNamesTheNearestEvenWhereItIsRequired) {
    const auto expect_typo = [this](const std::string& from, const std::string& to,
                                    const std::string& right) {
        expect_error(from, to, line_of(from),
                     {"unknown key \"" + to.substr(0, to.find_first_of(" =")) + "\"",
                      "did you mean \"" + right + "\"?"});
    };
    expect_typo("title = ", "titel = ", "title");
    expect_typo("region = ", "regoin = ", "region");
    expect_typo("site_correction = ", "site_corection = ", "site_correction");
    expect_typo("spacing_arcsec = ", "spacing = ", "spacing_arcsec");
    expect_typo("reach_km = ", "reach = ", "reach_km");
    expect_typo("variable = \"tmin\"", "varable = \"tmin\"", "variable");
    expect_typo("variable = \"wind\"", "variabel = \"wind\"", "variable");
    expect_typo("height_m = ", "hight_m = ", "height_m");
    expect_typo("layout = ", "layuot = ", "layout");
    expect_typo("layers = ", "layer = ", "layers");
    expect_error("columns = { code", "columns = { cdoe", line_of("columns = "),
                 {"unknown key \"cdoe\"", "\"code\""});
}

TEST_F(RecipeErrors, AMisspeltTableNamesTheNearest) {
    expect_error("[lattice]", "[latice]", line_of("[lattice]"), {"\"latice\"", "\"lattice\""});
    expect_error("[output]", "[outptu]", line_of("[output]"), {"\"outptu\"", "\"output\""});
    expect_error("[[postal]]", "[[postals]]", line_of("[[postal]]"), {"\"postals\"", "\"postal\""});
    const std::string more = std::string(kSoundRecipe) + "[[grids]]\nname = \"x\"\n";
    EXPECT_NE(error_of(more).message.find("did you mean \"grid\"?"), std::string::npos);
}

TEST_F(RecipeErrors, KeysOfOneVariableAreUnknownToOthers) {
    expect_error("unit = \"mm\"", "unit = \"mm\"\nheight_m = 10", line_of("unit = \"mm\"") + 1,
                 {"unknown key \"height_m\""});
    expect_error("unit = \"mm\"", "unit = \"mm\"\nwind_factor = 1", line_of("unit = \"mm\"") + 1,
                 {"unknown key \"wind_factor\""});
    expect_error("unit = \"mm\"", "unit = \"mm\"\nequation = \"mine\"",
                 line_of("unit = \"mm\"") + 1, {"unknown key \"equation\""});
}

TEST_F(RecipeErrors, AMissingKeyIsShownAsItMayLook) {
    const auto expect_missing = [this](const std::string& whole_line, const std::string& table,
                                       const std::string& key) {
        SCOPED_TRACE(whole_line);
        const Error error = error_of(changed(kSoundRecipe, whole_line + "\n", ""));
        EXPECT_EQ(error.code, ErrorCode::bad_input);
        EXPECT_TRUE(error.message.starts_with("merrow.toml:")) << error.message;
        EXPECT_NE(error.message.find(table), std::string::npos) << error.message;
        EXPECT_NE(error.message.find(" lacks the key \"" + key + "\""), std::string::npos)
            << error.message;
        EXPECT_NE(error.message.find(key + " = "), std::string::npos) << error.message;
    };
    expect_missing("title = \"The Merrow valley\"", "[baseline]", "title");
    expect_missing("period = \"1991-2020\"", "[baseline]", "period");
    expect_missing("spacing_arcsec = 1800", "[lattice]", "spacing_arcsec");
    expect_missing("bbox = [10.5, 45.5, 13.5, 48.5]", "[lattice]", "bbox");
    expect_missing("path = \"elevation.tif\"", "[elevation]", "path");
    for (const char* line : {"name = \"Rain\"", "path = \"rain_{month:02}.tif\"", "unit = \"mm\"",
                             "variable = \"rain\""}) {
        const std::string text = line;
        expect_missing(line, "[[grid]]", text.substr(0, text.find(' ')));
    }
    for (const char* line : {"licence = \"CC-BY-4.0\"", "attribution = \"Merrow Weather Office\"",
                             "period = \"1981-2010\""}) {
        const std::string text = line;
        expect_missing(line, "[[grid]]", text.substr(0, text.find(' ')));
    }
    for (const char* line : {"country = \"XM\"", "path = \"postal.csv\"", "layout = \"csv\"",
                             "columns = { code = \"code\", lat = \"lat\", lon = \"lon\" }"}) {
        const std::string text = line;
        expect_missing(line, "[[postal]]", text.substr(0, text.find(' ')));
    }
    expect_error("columns = { code = \"code\", lat", "columns = { lat", line_of("columns = "),
                 {"columns of [[postal]]", "\"code\""});
}

TEST_F(RecipeErrors, AMissingTableIsNamed) {
    const Error error = error_of("[lattice]\nspacing_arcsec = 900\nbbox = [0, 0, 1, 1]\n");
    EXPECT_NE(error.message.find("lacks the table [baseline]"), std::string::npos) << error.message;
}

TEST_F(RecipeErrors, AnUnknownWordNamesTheNearest) {
    const auto expect_word = [this](const std::string& from, const std::string& to,
                                    const std::string& wrong, const std::string& right) {
        expect_error(from, to, line_of(from),
                     {"\"" + wrong + "\"", "did you mean \"" + right + "\"?"});
    };
    expect_word("unit = \"degC\"", "unit = \"C\"", "C", "degC");
    expect_word("unit = \"m/s\"", "unit = \"km/hour\"", "km/hour", "km/h");
    expect_word("unit = \"mm\"", "unit = \"mm/mnth\"", "mm/mnth", "mm/month");
    expect_word("unit = \"m\"", "unit = \"metre\"", "metre", "m");
    expect_word("variable = \"wind\"", "variable = \"wnd\"", "wnd", "wind");
    expect_word("reference = \"short\"", "reference = \"shrot\"", "shrot", "short");
    expect_word("site_correction = \"none\"", "site_correction = \"non\"", "non", "none");
    expect_word("soil_heat_flux = \"monthly\"", "soil_heat_flux = \"month\"", "month", "monthly");
    expect_word("layout = \"csv\"", "layout = \"cvs\"", "cvs", "csv");
    expect_word("layers = [\"temperature\"]", "layers = [\"temprature\"]", "temprature",
                "temperature");
    expect_word("variable = \"wind\"", "variable = \"elevation\"", "elevation", "radiation");
}

TEST_F(RecipeErrors, StatesTheExpectedKindOfValue) {
    const auto expect_kind = [this](const std::string& from, const std::string& to,
                                    const std::string& wanted) {
        expect_error(from, to, line_of(from), {"must be", wanted});
    };
    expect_kind("title = \"The Merrow valley\"", "title = 7", "text");
    expect_kind("title = \"The Merrow valley\"", "title = \"\"", "not empty");
    expect_kind("region = \"upland\"", "region = 7", "text");
    expect_kind("period = \"1991-2020\"", "period = 1991", "text");
    expect_kind("spacing_arcsec = 1800", "spacing_arcsec = \"1800\"", "number");
    expect_kind("spacing_arcsec = 1800", "spacing_arcsec = 0", "from 1 to 36000");
    expect_kind("spacing_arcsec = 1800", "spacing_arcsec = 36001", "from 1 to 36000");
    expect_kind("spacing_arcsec = 1800", "spacing_arcsec = nan", "number");
    expect_kind("spacing_arcsec = 1800", "spacing_arcsec = true", "number");
    expect_kind("reach_km = 50", "reach_km = -1", "from 0");
    expect_kind("reach_km = 50", "reach_km = inf", "number");
    expect_kind("height_m = 10", "height_m = 0.05", "number from");
    expect_kind("height_m = 10", "height_m = \"10\"", "number");
    expect_kind("wind_factor = 0.8", "wind_factor = 0", "number from");
    expect_kind("wind_factor = 0.8", "wind_factor = -0.8", "number from");
    expect_kind("layers = [\"temperature\"]", "layers = \"temperature\"", "list");
    expect_kind("layers = [\"temperature\"]", "layers = [1]", "list of texts");
    expect_kind("columns = { code = \"code\", lat = \"lat\", lon = \"lon\" }", "columns = \"code\"",
                "table");
    expect_kind("path = \"elevation.tif\"", "path = [\"elevation.tif\"]", "text");
}

TEST_F(RecipeErrors, TablesInTheWrongFormAreRefused) {
    const std::string without_grids =
        std::string(kSoundRecipe).substr(0, std::string(kSoundRecipe).find("[[grid]]"));
    const Error grid = error_of(without_grids + "[grid]\nname = \"x\"\n");
    EXPECT_NE(grid.message.find("two brackets: [[grid]]"), std::string::npos) << grid.message;
    const Error lattice = error_of(changed(kSoundRecipe, "[lattice]", "[[lattice]]"));
    EXPECT_NE(lattice.message.find("\"lattice\""), std::string::npos) << lattice.message;
    const Error elevation =
        error_of(changed(kSoundRecipe, "[elevation]\n", "[elevation]\n[nested]\n"));
    EXPECT_EQ(elevation.code, ErrorCode::bad_input);
    const Error word = error_of("baseline = 3\n");
    EXPECT_NE(word.message.find("\"baseline\""), std::string::npos) << word.message;
}

TEST_F(RecipeErrors, BoxesThatAreNone) {
    const auto expect_box = [this](const std::string& box, const std::string& says) {
        expect_error("bbox = [10.5, 45.5, 13.5, 48.5]", "bbox = " + box, line_of("bbox = "),
                     {says});
    };
    expect_box("[10.0001, 45.5, 13.5, 48.5]", "whole arc-seconds");
    expect_box("[10.5, 45.5, 13.5, 48.50001]", "whole arc-seconds");
    expect_box("[10.5, 48.5, 13.5, 45.5]", "south to north");
    expect_box("[10.5, -90.5, 13.5, 45.5]", "-90 and 90");
    expect_box("[10.5, 45.5, 13.5, 91]", "-90 and 90");
    expect_box("[1000, 45.5, 1001, 48.5]", "-180 to 180");
    expect_box("[10.5, 45.5, 13.5]", "4 numbers");
    expect_box("[10.5, 45.5, 13.5, 48.5, 1]", "4 numbers");
    expect_box("[10.5, 45.5, 13.5, \"48.5\"]", "4 numbers");
    expect_box("[10.5, 45.5, nan, 48.5]", "4 numbers");
    expect_box("[10.5, 45.5, inf, 48.5]", "4 numbers");
    expect_box("{ west = 10.5 }", "4 numbers");
    expect_error("spacing_arcsec = 1800", "spacing_arcsec = 1800.5", line_of("spacing_arcsec"),
                 {"whole number"});
}

TEST_F(RecipeErrors, CountriesThatAreNone) {
    expect_error("country = \"XM\"", "country = \"Merrow\"", line_of("country = "),
                 {"Merrow", "two letters"});
}

TEST_F(RecipeErrors, ADirectGridOfAnotherReferenceIsRefused) {
    const std::string eto =
        "[[grid]]\nname = \"ET\"\nvariable = \"eto\"\npath = \"eto.tif\"\nunit = \"mm\"\n"
        "period = \"1991-2020\"\nlicence = \"CC0-1.0\"\nattribution = \"Merrow Weather Office\"\n"
        "reference = \"short\"\nequation = \"FAO-56\"\n";
    const std::string tall = changed(kSoundRecipe, "reference = \"short\"", "reference = \"tall\"");
    const Error error = error_of(tall + eto);
    EXPECT_EQ(error.code, ErrorCode::bad_input);
    EXPECT_NE(error.message.find("short reference"), std::string::npos) << error.message;
    EXPECT_NE(error.message.find("tall"), std::string::npos) << error.message;
    for (const char* key : {"reference", "equation"}) {
        const std::string line = std::string(key) + " = \"" +
                                 (std::string(key) == "reference" ? "short" : "FAO-56") + "\"\n";
        const Error lacks = error_of(std::string(kSoundRecipe) + changed(eto, line, ""));
        EXPECT_NE(lacks.message.find("lacks the key \"" + std::string(key) + "\""),
                  std::string::npos)
            << lacks.message;
    }
}

TEST_F(RecipeErrors, WhatTheFileStatesCanOnlyBeWrong) {
    const std::string unit = "unit = \"degC\"\n";
    const int line = line_of(unit) + 1;
    expect_error(unit, unit + "unit_of_file = \"right\"\n", line,
                 {"the key \"unit_of_file\" of [[grid]] must be \"wrong\", not \"right\""});
    expect_error(unit, unit + "scale_of_file = 0.1\n", line, {"scale_of_file", "must be"});
    expect_error(unit, unit + "offset = \"0\"\n", line, {"offset", "must be"});
    expect_error(unit, unit + "scale = 0\n", line, {"scale"});
    expect_error(unit, unit + "ofset = 3\n", line, {"did you mean \"offset\""});
    expect_error(unit, unit + "units_of_file = \"wrong\"\n", line,
                 {"did you mean \"unit_of_file\""});
}

}  // namespace
}  // namespace thirstline
