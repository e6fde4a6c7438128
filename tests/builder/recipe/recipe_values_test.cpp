// The values read from a valid recipe.
#include <gtest/gtest.h>

#include "builder/recipe/recipe.hpp"
#include "schema/geo/lattice.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/raster_fixtures.hpp"
#include "tests/support/recipe_text.hpp"

namespace thirstline {
namespace {

using test::changed;
using test::kSoundRecipe;

class RecipeValues : public testing::Test {
  protected:
    Recipe read(const std::string& text) const {
        const std::string path = folder_ / "merrow.toml";
        test::write_text(path, text);
        auto recipe = read_recipe(path);
        if (recipe) return std::move(*recipe);
        ADD_FAILURE() << recipe.error().message;
        return {};
    }
    Lattice lattice_of(const std::string& box) const {
        return read(changed(kSoundRecipe, "bbox = [10.5, 45.5, 13.5, 48.5]", "bbox = " + box))
            .lattice;
    }
    TempFolder folder_;
};

TEST_F(RecipeValues, AnEditionHasADayAndADoi) {
    const auto edition = [this](const std::string& lines) {
        return read(changed(kSoundRecipe, "region = \"upland\"", "region = \"upland\"\n" + lines))
            .edition;
    };
    EXPECT_EQ(edition("edition = \"2026.1\"\ndate = 2026-02-28\ndoi = \"doi:10.1234/x\"\n"),
              (Edition{"2026.1", "2026-02-28", "10.1234/x", "", ""}));
    EXPECT_EQ(edition("date = \"2024-02-29\"").date, "2024-02-29");
    for (const char* line : {"date = \"2026-02-29\"", "date = \"2026-2\"", "date = 2026",
                             "doi = \"11.1234/x\"", "doi = \"10.1234\""}) {
        const std::string path = folder_ / "bad.toml";
        test::write_text(path, changed(kSoundRecipe, "region = \"upland\"",
                                       std::string("region = \"upland\"\n") + line));
        const auto recipe = read_recipe(path);
        ASSERT_FALSE(recipe) << line;
        EXPECT_NE(recipe.error().message.find("bad.toml:4: "), std::string::npos)
            << recipe.error().message;
    }
}

TEST_F(RecipeValues, EveryKeyArrives) {
    const Recipe recipe = read(kSoundRecipe);
    EXPECT_EQ(recipe.title, "The Merrow valley");
    EXPECT_EQ(recipe.region, "upland");
    EXPECT_EQ(recipe.publisher, "Merrow Valley Water District");
    EXPECT_EQ(recipe.notice, "Invented.");
    EXPECT_EQ(recipe.reference, ReferenceSurface::short_reference);
    EXPECT_FALSE(recipe.site_correction);
    EXPECT_EQ(recipe.soil_heat, SoilHeat::monthly);
    EXPECT_EQ(recipe.period, "1991-2020");
    EXPECT_EQ(recipe.lattice.name, "upland");
    EXPECT_EQ(recipe.lattice.columns, 7);
    EXPECT_EQ(recipe.lattice.rows, 7);
    EXPECT_EQ(recipe.lattice.reach_m, 50'000);
    ASSERT_TRUE(recipe.elevation);
    EXPECT_EQ(recipe.elevation->path, folder_ / "elevation.tif");
    EXPECT_EQ(recipe.elevation->where, "merrow.toml:17");
    EXPECT_TRUE(recipe.temperature_layers);

    ASSERT_EQ(recipe.grids.size(), 4U);
    const GridRecipe& cold = recipe.grids[1];
    EXPECT_EQ(cold.terms.name, "Cold");
    EXPECT_EQ(cold.terms.period, "1961-1990");
    EXPECT_EQ(cold.terms.licence, "CC0-1.0");
    EXPECT_EQ(cold.terms.attribution, "Merrow Weather Office");
    EXPECT_EQ(cold.terms.url, "https://example.org/tmin");
    EXPECT_EQ(cold.variable, Variable::tmin);
    EXPECT_EQ(cold.path, folder_ / "tmin.tif");
    EXPECT_EQ(cold.unit, "degF");
    EXPECT_EQ(cold.where, "merrow.toml:32");
    const GridRecipe& wind = recipe.grids[2];
    EXPECT_EQ(wind.height_m, 10.0);
    EXPECT_EQ(wind.wind_factor, 0.8);
    EXPECT_EQ(wind.path, "/vsizip/" + (folder_ / "wind.zip/wind_{month}.asc"));
    EXPECT_EQ(recipe.grids[3].netcdf_variable, "pr");

    ASSERT_EQ(recipe.postal.size(), 1U);
    EXPECT_EQ(recipe.postal[0].country, "XM");
    EXPECT_EQ(recipe.postal[0].layout, PostalLayout::csv);
    EXPECT_EQ(recipe.postal[0].code_column, "code");
    EXPECT_EQ(recipe.postal[0].place_column, "");
}

TEST_F(RecipeValues, DefaultsAreThoseOfTheInterface) {
    std::string text = kSoundRecipe;
    for (const char* line : {"reference = \"short\"\n", "site_correction = \"none\"\n",
                             "soil_heat_flux = \"monthly\"\n", "reach_km = 50\n", "[output]\n",
                             "layers = [\"temperature\"]\n", "height_m = 10\n",
                             "wind_factor = 0.8\n", "region = \"upland\"\n"}) {
        text = changed(text, line, "");
    }
    const Recipe recipe = read(text);
    EXPECT_EQ(recipe.reference, ReferenceSurface::short_reference);
    EXPECT_TRUE(recipe.site_correction);
    EXPECT_EQ(recipe.soil_heat, SoilHeat::none);
    EXPECT_EQ(recipe.lattice.reach_m, 50'000);
    EXPECT_TRUE(recipe.temperature_layers);
    EXPECT_EQ(recipe.grids[2].height_m, 10.0);
    EXPECT_EQ(recipe.grids[2].wind_factor, 1.0);
    EXPECT_EQ(recipe.lattice.name, "The Merrow valley");
}

TEST_F(RecipeValues, TheFormerNameOfTheWindFactorIsRead) {
    const Recipe recipe = read(changed(kSoundRecipe, "wind_factor = 0.8", "exposure = 0.7"));
    EXPECT_EQ(recipe.grids[2].wind_factor, 0.7);
}

TEST_F(RecipeValues, LayersLeaveTheTemperaturesOut) {
    EXPECT_FALSE(read(changed(kSoundRecipe, "[\"temperature\"]", "[]")).temperature_layers);
    EXPECT_FALSE(wraps(read(kSoundRecipe).lattice));
}

TEST_F(RecipeValues, BoxesMayCrossTheAntimeridianOrCloseTheCircle) {
    const Lattice crossing = lattice_of("[179.0, -10.0, -179.0, 0.0]");
    EXPECT_EQ(crossing.columns, 5);
    EXPECT_EQ(position_of(crossing, {0, 0}), (LatLon{-10.0, 179.0}));
    EXPECT_EQ(position_of(crossing, {0, 4}), (LatLon{-10.0, -179.0}));
    EXPECT_FALSE(wraps(crossing));

    for (const char* box : {"[-180.0, -90.0, 180.0, 90.0]", "[0.0, -90.0, 360.0, 90.0]",
                            "[-20.0, -90.0, 340.0, 90.0]"}) {
        const Lattice world = lattice_of(box);
        EXPECT_EQ(world.columns, 720) << box;  // the coincident east column is dropped
        EXPECT_EQ(world.rows, 361) << box;
        EXPECT_TRUE(wraps(world)) << box;
    }
    const Lattice one_short = lattice_of("[-180.0, -90.0, 179.5, 90.0]");
    EXPECT_EQ(one_short.columns, 720);
    EXPECT_TRUE(wraps(one_short));
    EXPECT_FALSE(wraps(lattice_of("[-180.0, -90.0, 179.0, 90.0]")));
}

// Both the east and the north edge count where points fall on them, and a box of no width is a
// line, not the whole circle.
TEST_F(RecipeValues, EdgesAndLines) {
    const Lattice uneven = lattice_of("[10.5, 45.5, 13.25, 48.25]");
    EXPECT_EQ(uneven.columns, 6);
    EXPECT_EQ(uneven.rows, 6);
    const Lattice line = lattice_of("[10.5, 45.5, 10.5, 48.5]");
    EXPECT_EQ(line.columns, 1);
    EXPECT_EQ(line.rows, 7);
    const Lattice point = lattice_of("[10.5, 45.5, 10.5, 45.5]");
    EXPECT_EQ(point.columns * point.rows, 1);
    // A third of a degree is 1,200 arc-seconds, although no double holds it.
    EXPECT_EQ(lattice_of("[10.333333333333334, 45, 11, 46]").west_arcsec, 37'200);
}

TEST(ResolvedPath, RelativeOnesStartAtTheRecipesFolder) {
    EXPECT_EQ(resolved_path("a/b/r.toml", "x.tif"), "a/b/x.tif");
    EXPECT_EQ(resolved_path("a/r.toml", "../x.tif"), "a/../x.tif");
    EXPECT_EQ(resolved_path("r.toml", "x.tif"), "x.tif");
    EXPECT_EQ(resolved_path("/a/r.toml", "x_{month:02}.tif"), "/a/x_{month:02}.tif");
    EXPECT_EQ(resolved_path("a/r.toml", "/data/x.tif"), "/data/x.tif");
}

TEST(ResolvedPath, ArchivesAreLookedForThereToo) {
    EXPECT_EQ(resolved_path("a/r.toml", "/vsizip/wind.zip/x.asc"), "/vsizip/a/wind.zip/x.asc");
    EXPECT_EQ(resolved_path("a/r.toml", "/vsigzip/x.csv.gz"), "/vsigzip/a/x.csv.gz");
    EXPECT_EQ(resolved_path("a/r.toml", "/vsitar/x.tgz/y.tif"), "/vsitar/a/x.tgz/y.tif");
    EXPECT_EQ(resolved_path("r.toml", "/vsizip/wind.zip/x.asc"), "/vsizip/wind.zip/x.asc");
    EXPECT_EQ(resolved_path("a/r.toml", "/vsizip//data/wind.zip/x.asc"),
              "/vsizip//data/wind.zip/x.asc");
    EXPECT_EQ(resolved_path("a/r.toml", "/vsizip/{wind.zip}/x.asc"), "/vsizip/{wind.zip}/x.asc");
}

TEST(ResolvedPath, NetworkAddressesStay) {
    for (const char* path :
         {"/vsicurl/https://example.org/x.tif", "/vsigzip//vsicurl/https://example.org/x.csv.gz",
          "/vsis3/bucket/x.tif"}) {
        EXPECT_EQ(resolved_path("a/r.toml", path), path);
    }
}

}  // namespace
}  // namespace thirstline
