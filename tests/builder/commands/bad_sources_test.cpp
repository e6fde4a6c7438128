// Sources that cannot be used: the program reports which, where and why in one sentence, ends with
// the right code, and leaves nothing behind.
#include <gtest/gtest.h>

#include <filesystem>

#include "schema/base/sha256.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/recipe_text.hpp"

namespace thirstline {
namespace {

using test::builder;
using test::changed;
using test::content_of;
using test::names_in;
using test::plain;
using test::ProgramRun;
using test::Region;
using test::write_text;

RasterShape shape() {
    return north_up(8.0, 51.0, 1.0, 8, 8);
}

class BadSources : public testing::Test {
  protected:
    void SetUp() override { region_.add_plain_grids(shape()); }

    /// `build` and `check` both refuse the region's recipe, whose text may be changed.
    void expect_refused(int status, std::initializer_list<std::string> says,
                        const std::string& from = "", const std::string& to = "") {
        const std::string recipe = region_.write_recipe();
        if (!from.empty()) write_text(recipe, changed(content_of(recipe), from, to));
        const auto before = names_in(region_.folder());
        for (const ProgramRun& run : {builder({"build", recipe, "-o", region_.path("out.sqlite")}),
                                      builder({"check", recipe})}) {
            EXPECT_EQ(run.status, status) << run.err;
            EXPECT_EQ(run.out, "");
            EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
            for (const std::string& part : says)
                EXPECT_NE(run.err.find(part), std::string::npos) << run.err;
        }
        EXPECT_EQ(names_in(region_.folder()), before);
    }

    Region region_;
};

TEST_F(BadSources, AFileThatIsNotThere) {
    expect_refused(5, {"recipe.toml:", "tmin", "nowhere.tif"}, "\"tmin.tif\"", "\"nowhere.tif\"");
    expect_refused(5, {"recipe.toml:", "nowhere_01.tif"}, "\"tmin.tif\"",
                   "\"nowhere_{month:02}.tif\"");
    expect_refused(5, {"recipe.toml:", "elevation", "nowhere.tif"}, "\"elevation.tif\"",
                   "\"nowhere.tif\"");
    expect_refused(5, {"recipe.toml:"}, "\"tmin.tif\"", "\"/vsizip/nowhere.zip/x.tif\"");
}

TEST_F(BadSources, RejectsAFileThatIsNotARaster) {
    write_text(region_.path("tmin.tif"), "not a raster at all\n");
    expect_refused(3, {"recipe.toml:", "tmin.tif"});
}

TEST_F(BadSources, AMissingBand) {
    write_raster(region_.path("tmin.tif"), shape(), 11,
                 at_cell_centres(shape(), plain(Variable::tmin)));
    expect_refused(3, {"recipe.toml:", "11", "12"});
}

TEST_F(BadSources, AMissingMonth) {
    for (int month = 1; month <= 12; ++month) {
        if (month == 7) continue;
        write_raster(region_.path("m" + std::to_string(month) + ".tif"), shape(), 1,
                     at_cell_centres(shape(), plain(Variable::tmin)));
    }
    expect_refused(3, {"recipe.toml:", "July"}, "\"tmin.tif\"", "\"m{month}.tif\"");
}

TEST_F(BadSources, AUnitThatContradictsTheFiles) {
    RasterOptions options;
    options.unit = "K";
    write_raster(region_.path("tmin.tif"), shape(), kMonths,
                 at_cell_centres(shape(), plain(Variable::tmin)), options);
    expect_refused(3, {"recipe.toml:", "\"K\"", "\"degC\""});
}

TEST_F(BadSources, AUnitThatCannotBeRight) {
    expect_refused(3, {"recipe.toml:", "tmin"}, "path = \"tmin.tif\"\nunit = \"degC\"",
                   "path = \"tmin.tif\"\nunit = \"K\"");
}

TEST_F(BadSources, AUnitThatCannotBeReadIsOnlyANote) {
    RasterOptions options;
    options.unit = "wugs";
    write_raster(region_.path("tmin.tif"), shape(), kMonths,
                 at_cell_centres(shape(), plain(Variable::tmin)), options);
    const ProgramRun run =
        builder({"build", region_.write_recipe(), "-o", region_.path("out.sqlite")});
    EXPECT_EQ(run.status, 0);
    EXPECT_TRUE(run.err.starts_with("thirstline-builder: note: ")) << run.err;
    EXPECT_NE(run.err.find("wugs"), std::string::npos) << run.err;
}

TEST_F(BadSources, AGridThatDoesNotTouchTheLattice) {
    const RasterShape elsewhere = north_up(-60.0, -20.0, 1.0, 8, 8);
    write_raster(region_.path("tmin.tif"), elsewhere, kMonths,
                 at_cell_centres(elsewhere, plain(Variable::tmin)));
    expect_refused(
        3, {"recipe.toml:", "\"tmin of the Merrow\"", "does not touch the lattice", "hint: "});
}

TEST_F(BadSources, NotOnePointWithData) {
    write_raster(region_.path("tmin.tif"), shape(), kMonths,
                 [](int, int, int) { return std::numeric_limits<double>::quiet_NaN(); });
    expect_refused(3, {"no point of the lattice"});
}

TEST_F(BadSources, APostalTableThatIsNotThere) {
    region_.rest = "[[postal]]\ncountry = \"XM\"\npath = \"postal.csv\"\nlayout = \"geonames\"\n";
    expect_refused(5, {"recipe.toml:", "postal.csv"});
}

// GDAL has its own words for this, which the user need not read.
TEST_F(BadSources, ACompressedPostalTableThatEndsTooSoon) {
    std::string rows;
    for (int i = 10'000; i < 40'000; ++i) {
        rows += "XM\t" + std::to_string(i) + "\tPellimoor\t\t\t\t\t\t\t46." +
                std::to_string(i * 7919 % 100'000) + "\t11.5\t\n";
    }
    write_text(region_.path("postal.txt"), rows);
    copy_file(region_.path("postal.txt"), "/vsigzip/" + region_.path("postal.txt.gz"));
    const std::string whole = content_of(region_.path("postal.txt.gz"));
    // Whole, it is read under its plain name, too.
    region_.rest =
        "[[postal]]\ncountry = \"XM\"\npath = \"postal.txt.gz\"\nlayout = \"geonames\"\n";
    const ProgramRun checked = builder({"check", region_.write_recipe()});
    EXPECT_EQ(checked.status, 0) << checked.err;
    EXPECT_NE(checked.out.find("30000 postal codes"), std::string::npos) << checked.out;
    // A build keeps the checksum of the file as it is stored, which any program can compute.
    const ProgramRun built =
        builder({"build", region_.write_recipe(), "-o", region_.path("packed.sqlite")});
    EXPECT_EQ(built.status, 0) << built.err;
    Sha256 sha256;
    sha256.add(whole);
    EXPECT_NE(
        content_of(region_.path("packed.sqlite")).find(sha256.hex_digest() + "  postal.txt.gz"),
        std::string::npos);
    write_text(region_.path("postal.txt.gz"), whole.substr(0, whole.size() / 2));
    region_.rest =
        "[[postal]]\ncountry = \"XM\"\npath = \"/vsigzip/postal.txt.gz\"\nlayout = "
        "\"geonames\"\n";
    expect_refused(3, {"recipe.toml:", "postal.txt.gz", "damaged"});
}

// The file opens, and all is well until the last rows of tiles ask for what is no longer there.
TEST_F(BadSources, AFileDamagedTowardsItsEnd) {
    const RasterShape fine = north_up(8.0, 51.0, 0.02, 400, 400);
    RasterOptions options;
    options.creation = {"TILED=NO", "BLOCKYSIZE=8", "INTERLEAVE=PIXEL"};
    write_raster(region_.path("tmin.tif"), fine, kMonths,
                 at_cell_centres(fine, plain(Variable::tmin)), options);
    region_.lattice = "spacing_arcsec = 180\nbbox = [8.5, 43.5, 15.5, 50.5]\n";
    const std::string file = region_.path("tmin.tif");
    // Rows run from the north, tiles from the south: spoil what is needed in the middle.
    const auto bytes = std::filesystem::file_size(file);
    std::filesystem::resize_file(file, bytes - bytes / 3);
    write_text(region_.path("out.sqlite"), "existing content");
    const auto before = [&] {
        const std::string recipe = region_.write_recipe();
        return names_in(region_.folder());
    }();
    const ProgramRun run =
        builder({"build", region_.write_recipe(), "-o", region_.path("out.sqlite"), "--overwrite"});
    EXPECT_EQ(run.status, 3) << run.err;
    EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    EXPECT_NE(run.err.find("tmin.tif"), std::string::npos) << run.err;
    EXPECT_EQ(names_in(region_.folder()), before);
    EXPECT_EQ(content_of(region_.path("out.sqlite")), "existing content");
}

}  // namespace
}  // namespace thirstline
