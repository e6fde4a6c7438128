// Whether the sources of a recipe together are sufficient for reference ET.
#include <gtest/gtest.h>

#include "builder/recipe/recipe.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/raster_fixtures.hpp"
#include "tests/support/recipe_text.hpp"

namespace thirstline {
namespace {

std::string grid(const std::string& variable, const std::string& unit,
                 const std::string& period = "1991-2020") {
    return "[[grid]]\nname = \"" + variable + "\"\nvariable = \"" + variable + "\"\npath = \"" +
           variable + ".tif\"\nunit = \"" + unit + "\"\nperiod = \"" + period +
           "\"\nlicence = \"CC0-1.0\"\nattribution = \"Merrow Weather Office\"\n";
}

const std::string kHead =
    "[baseline]\ntitle = \"Merrow\"\nperiod = \"1991-2020\"\n"
    "[lattice]\nspacing_arcsec = 900\nbbox = [0, 0, 1, 1]\n";
const std::string kElevation = "[elevation]\npath = \"elevation.tif\"\nunit = \"m\"\n";
const std::string kEto =
    grid("eto", "mm/day") + "reference = \"short\"\nequation = \"ASCE-EWRI 2005\"\n";

class RecipeCompleteness : public testing::Test {
  protected:
    Result<Recipe> read(const std::string& text) const {
        test::write_text(folder_ / "merrow.toml", text);
        return read_recipe(folder_ / "merrow.toml");
    }
    std::string message_of(const std::string& text) const {
        const auto recipe = read(text);
        EXPECT_FALSE(recipe) << text;
        if (recipe) return "";
        EXPECT_EQ(recipe.error().code, ErrorCode::bad_input);
        EXPECT_TRUE(recipe.error().message.starts_with("merrow.toml")) << recipe.error().message;
        return recipe.error().message;
    }
    TempFolder folder_;
};

TEST_F(RecipeCompleteness, TwoTemperaturesOrAGridOfEtoAreNeeded) {
    const char* const needed = "two of tmax, tmin, tmean and temperature_range";
    EXPECT_NE(message_of(kHead).find(needed), std::string::npos);
    EXPECT_NE(message_of(kHead + kElevation + grid("rain", "mm")).find(needed), std::string::npos);
    EXPECT_NE(message_of(kHead + kElevation + grid("tmax", "degC")).find(needed),
              std::string::npos);
    const std::string twice = kHead + kElevation + grid("tmax", "degC") + grid("tmax", "degC");
    EXPECT_NE(message_of(twice).find(needed), std::string::npos);
    for (const auto& [a, b] : {std::pair{"tmax", "tmin"},
                               {"tmax", "tmean"},
                               {"tmean", "tmin"},
                               {"tmean", "temperature_range"},
                               {"tmin", "temperature_range"}}) {
        EXPECT_TRUE(read(kHead + kElevation + grid(a, "degC") + grid(b, "degC"))) << a << b;
    }
    EXPECT_TRUE(read(kHead + kEto));
}

TEST_F(RecipeCompleteness, TemperatureNeedsElevation) {
    EXPECT_NE(message_of(kHead + grid("tmax", "degC") + grid("tmin", "degC")).find("[elevation]"),
              std::string::npos);
    EXPECT_NE(message_of(kHead + kEto + grid("tmax", "degC")).find("[elevation]"),
              std::string::npos);
    EXPECT_TRUE(read(kHead + kEto + grid("rain", "mm")));
}

TEST_F(RecipeCompleteness, SeveralGridsMayHoldOneVariable) {
    const auto recipe = read(kHead + kElevation + grid("tmax", "degC") + grid("tmin", "degC") +
                             grid("rain", "mm") + grid("rain", "in"));
    ASSERT_TRUE(recipe);
    EXPECT_EQ(recipe->grids.size(), 4U);
}

TEST_F(RecipeCompleteness, SevenPeriodsAreTheMost) {
    std::string text =
        kHead + kElevation + grid("tmax", "degC", "1900-1929") + grid("tmin", "degC", "1900-1929");
    for (int i = 1; i < 7; ++i) text += grid("rain", "mm", "period " + std::to_string(i));
    EXPECT_TRUE(read(text));
    EXPECT_NE(message_of(text + grid("rain", "mm", "one more")).find("seven"), std::string::npos);
    EXPECT_TRUE(read(text + grid("rain", "mm", "period 3")));
}

TEST_F(RecipeCompleteness, SomeVariablesAreUsedInPairs) {
    const std::string sound = kHead + kElevation + grid("tmax", "degC") + grid("tmin", "degC");
    const std::string wanted[][3] = {
        {"wind_u", "wind_v", "m/s"},
        {"relative_humidity_max", "relative_humidity_min", "%"},
        {"vapour_pressure_deficit_max", "vapour_pressure_deficit_min", "hPa"}};
    for (const auto& [one, other, unit] : wanted) {
        for (const auto& [given, missing] : {std::pair{one, other}, std::pair{other, one}}) {
            const std::string message = message_of(sound + grid(given, unit));
            EXPECT_NE(message.find("[[grid]] has " + given + ", and none has " + missing),
                      std::string::npos)
                << message;
        }
        EXPECT_TRUE(read(sound + grid(one, unit) + grid(other, unit)));
    }
}

}  // namespace
}  // namespace thirstline
