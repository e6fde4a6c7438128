// The command export, through the program: what it rejects, and that on any failure nothing is left
// behind and existing files are unchanged.
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>

#include "tests/support/altered_files.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using test::builder;
using test::content_of;
using test::lookup;
using test::names_in;
using test::ProgramRun;
using test::RunOptions;
using test::write_text;

constexpr const char* kFormats[] = {"sqlite", "csv", "geotiff", "netcdf", "geopackage"};

class ExportCommand : public testing::Test {
  protected:
    void SetUp() override {
        const ProgramRun run =
            builder({"build", THIRSTLINE_SAMPLE_INPUTS "/merrow.toml", "-o", database()});
        ASSERT_EQ(run.status, 0) << run.err;
    }
    std::string database() const { return folder_ / "merrow.sqlite"; }
    std::string output() const { return folder_ / "out"; }

    ProgramRun run(const std::string& format, const std::vector<std::string>& more = {},
                   const RunOptions& options = {}) const {
        std::vector<std::string> arguments{"export", database(), "--as", format, "-o", output()};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return builder(arguments, options);
    }
    /// The command ends so, with one sentence, and the folder is as before.
    void expect_refused(const std::vector<std::string>& more, int status, const std::string& says,
                        const std::string& format = "csv", const RunOptions& options = {}) const {
        SCOPED_TRACE(format + " " + says);
        const auto before = names_in(folder_ / ".");
        const ProgramRun refused = run(format, more, options);
        EXPECT_EQ(refused.status, status) << refused.err;
        EXPECT_EQ(refused.out, "");
        EXPECT_TRUE(test::is_one_sentence(refused.err)) << refused.err;
        EXPECT_NE(refused.err.find(says), std::string::npos) << refused.err;
        EXPECT_EQ(names_in(folder_ / "."), before);
    }
    std::string file(const std::string& name, const std::string& text) const {
        write_text(folder_ / name, text);
        return folder_ / name;
    }

    TempFolder folder_;
};

TEST_F(ExportCommand, OptionsThatCannotBeAreRefused) {
    expect_refused({}, 2, "--as must be one of", "shapefile");
    expect_refused({"--bbox", "1,2,3"}, 2, "--bbox");
    expect_refused({"--bbox", "-38,45,-37,44"}, 2, "south edge north of its north edge");
    expect_refused({"--variables", "eto,snow"}, 2, "\"snow\"");
    expect_refused({"--variables", "eto_gradient"}, 2, "\"eto_gradient\"");
    expect_refused({"--variables", "eto"}, 2, "--variables", "sqlite");
    expect_refused({"--lattice", "1"}, 2, "--lattice", "sqlite");
    expect_refused({"--lattice", "9"}, 2, "has no lattice 9");
    EXPECT_EQ(builder({"export", database(), "--as", "csv"}).status, 2);
    EXPECT_EQ(builder({"export", database(), "-o", output()}).status, 2);
    EXPECT_EQ(builder({"export", "--as", "csv", "-o", output()}).status, 2);
    EXPECT_EQ(run("csv", {"--lattice", "0"}).status, 2);
    EXPECT_EQ(builder({"export", folder_ / "absent", "--as", "csv", "-o", output()}).status, 5);
    EXPECT_EQ(
        builder({"export", THIRSTLINE_SAMPLE_INPUTS "/merrow.toml", "--as", "csv", "-o", output()})
            .status,
        4);
}

TEST_F(ExportCommand, ASelectionWithoutDataIsExitOne) {
    for (const char* format : kFormats) {
        expect_refused({"--bbox", "10,10,11,11"}, 1, "no point of the selection has data", format);
    }
    // The isle's waters hold nothing, but its code lies in the box.
    const std::string isle = file("isle.txt", "04112\n");
    expect_refused({"--postal", isle}, 1, "no point of the selection has data");
    const std::string valley = file("valley.txt", "04107\n");
    expect_refused({"--postal", valley, "--bbox", "-38.3,44,-38.2,44.1"}, 1,
                   "none of the postal codes");
}

TEST_F(ExportCommand, PostalListsAreReadByLine) {
    expect_refused({"--postal", file("a.txt", "04107\n04999\n")}, 1, "a.txt:2:");
    expect_refused({"--postal", file("b.csv", "postal,country\n04107,XM\n04107,US\n")}, 1,
                   "b.csv:3:");
    expect_refused({"--postal", file("c.txt", "04107\n(?)\n")}, 2, "c.txt:2:");
    expect_refused({"--postal", file("d.csv", "country,postal\nXM,\n")}, 3, "d.csv:2:");
    expect_refused({"--postal", file("e.csv", "postal,country\n04107,MERROW\n")}, 2, "e.csv:2:");
    expect_refused({"--postal", file("f.txt", "\n\n")}, 3, "lists no postal code");
    expect_refused({"--postal", file("g.txt", "\"04107\n")}, 3, "g.txt:1:");
    expect_refused({"--postal", folder_ / "absent.txt"}, 5, "absent.txt");
    EXPECT_EQ(
        run("csv", {"--postal", file("h.csv", "id,country,postal\r\n1,xm, 04107 \r\n")}).status, 0);
}

TEST_F(ExportCommand, ACodeOfSeveralCountriesAsksForOne) {
    test::Region region;
    region.add_plain_grids(north_up(8.0, 51.0, 0.25, 32, 32));
    write_text(region.path("codes.csv"),
               "code,country,lat,lon\n1001,XM,46,11\n1001,XN,47,12\n1002,XM,46.5,11.5\n");
    region.rest =
        "[[postal]]\ncountry = \"XM\"\npath = \"codes.csv\"\nlayout = \"csv\"\n"
        "columns = { code = \"code\", country = \"country\", lat = \"lat\", lon = \"lon\" }\n";
    region.build();
    const auto with_list = [&](const std::string& text) {
        return builder({"export", region.path("out.sqlite"), "--as", "sqlite", "-o", output(),
                        "--overwrite", "--postal", file("list.csv", text)});
    };
    const ProgramRun ambiguous = with_list("1002\n1001\n");
    EXPECT_EQ(ambiguous.status, 2);
    EXPECT_NE(
        ambiguous.err.find("list.csv:2: postal code 1001 exists in several countries: XM, XN"),
        std::string::npos)
        << ambiguous.err;
    EXPECT_EQ(with_list("postal,country\n1001,XN\n").status, 0);
    EXPECT_EQ(lookup({"site", "--db", output(), "--postal", "1001"}).status, 0);
    EXPECT_EQ(lookup({"site", "--db", output(), "--postal", "1002"}).status, 1);
}

TEST_F(ExportCommand, RegionsThatCannotBeReadAreRefused) {
    expect_refused({"--region", folder_ / "absent.geojson"}, 5, "cannot open the region");
    expect_refused({"--region", file("text.geojson", "not a region")}, 3, "text.geojson");
    expect_refused({"--region", file("line.geojson",
                                     R"({"type":"LineString","coordinates":[[-38,44],[-37,45]]})")},
                   3, "has no polygon");
    expect_refused(
        {"--region", file("empty.geojson", R"({"type":"FeatureCollection","features":[]})")}, 3,
        "has no polygon");
    expect_refused(
        {"--region",
         file("far.geojson",
              R"({"type":"Polygon","coordinates":[[[0,0],[5000,0],[5000,400],[0,0]]]})")},
        3, "not valid degrees");
    expect_refused({"--region",
                    file("nosystem.csv", "id,WKT\n1,\"POLYGON((-38 44,-37 44,-37 45,-38 44))\"\n")},
                   3, "has no coordinate system");
}

TEST_F(ExportCommand, KeepsExistingFilesWithoutOverwrite) {
    for (const char* format : kFormats) {
        write_text(output(), "existing content");
        expect_refused({}, 2, "already exists", format);
        EXPECT_EQ(content_of(output()), "existing content");
        EXPECT_EQ(run(format, {"--overwrite"}).status, 0);
        EXPECT_NE(content_of(output()), "existing content");
        std::filesystem::remove(output());
        std::filesystem::remove(output() + ".sources.txt");
    }
    write_text(output() + ".sources.txt", "notes of mine");
    expect_refused({}, 2, "already exists");
    EXPECT_EQ(content_of(output() + ".sources.txt"), "notes of mine");
    EXPECT_EQ(
        builder({"export", database(), "--as", "sqlite", "-o", database(), "--overwrite"}).status,
        2);
    const std::string list = file("list.txt", "04107\n");
    EXPECT_EQ(
        builder({"export", database(), "--as", "csv", "-o", list, "--overwrite", "--postal", list})
            .status,
        2);
    EXPECT_EQ(content_of(list), "04107\n");
}

TEST_F(ExportCommand, AFullDiskLeavesNothing) {
    RunOptions full;
    full.most_bytes_of_a_file = 60'000;
    for (const char* format : kFormats) {
        write_text(output(), "existing content");
        expect_refused({"--overwrite"}, 5, "writing", format, full);
        EXPECT_EQ(content_of(output()), "existing content");
    }
}

TEST_F(ExportCommand, AnInterruptionLeavesNothing) {
    // As of a signal that came before the first row of tiles: the writers look there.
    const std::atomic<bool> interrupted{true};
    const auto before = names_in(folder_ / ".");
    for (const ExportFormat& format : export_formats()) {
        const auto stopped =
            run_export(*test::opened(database()), format, {output(), {}, {}, {}}, interrupted);
        ASSERT_FALSE(stopped) << format.name;
        EXPECT_EQ(stopped.error().code, ErrorCode::interrupted) << format.name;
        EXPECT_EQ(names_in(folder_ / "."), before) << format.name;
    }
}

TEST_F(ExportCommand, AFolderThatCannotBeWrittenToIsExitFive) {
    for (const char* format : kFormats) {
        const ProgramRun refused = builder(
            {"export", database(), "--as", format, "-o", folder_ / "no such folder/out.file"});
        EXPECT_EQ(refused.status, 5) << format;
        EXPECT_TRUE(test::is_one_sentence(refused.err)) << refused.err;
    }
    EXPECT_EQ(builder({"export", database(), "--as", "csv", "-o", folder_ / "."}).status, 2);
}

TEST_F(ExportCommand, ADamagedTileIsExitFourInEveryFormat) {
    test::run_on_file(database(), test::kDamageOfATile);
    for (const char* format : kFormats) expect_refused({}, 4, "is damaged", format);
}

TEST_F(ExportCommand, ASubsetHoldsWhatBelongsToIt) {
    ASSERT_EQ(run("sqlite", {"--bbox", "-37.9,44.4,-37.2,44.9"}).status, 0);
    const auto whole = test::opened(database());
    const auto part = test::opened(output());
    test::expect_whole(output());
    for (const char* key :
         {"title", "notice", "publisher", "reference", "site_correction", "period"})
        EXPECT_EQ(part->metadata(key), whole->metadata(key)) << key;
    EXPECT_EQ(part->metadata("subset_of"), whole->metadata("content_sha256"));
    EXPECT_EQ(part->metadata("subset_selection"), "box -37.9,44.4,-37.2,44.9");
    EXPECT_EQ(part->metadata("subset_bbox"), "-37.9,44.4,-37.2,44.9");
    EXPECT_LT(std::stoi(part->metadata("points")), std::stoi(whole->metadata("points")));
    EXPECT_EQ(*part->sources(), *whole->sources());
    EXPECT_FALSE(part->stations()->empty());
    EXPECT_EQ(lookup({"site", "--db", output(), "--postal", "04107"}).status, 0);
    EXPECT_EQ(lookup({"site", "--db", output(), "--postal", "04103"}).status, 1);
    for (const char* code : {"04107"}) {
        for (const char* form : {"json", "csv"}) {
            EXPECT_EQ(lookup({"site", "--db", output(), "--postal", code, "--format", form}).out,
                      lookup({"site", "--db", database(), "--postal", code, "--format", form}).out);
        }
    }
}

TEST_F(ExportCommand, WithoutASelectionSqliteIsACopy) {
    ASSERT_EQ(run("sqlite").status, 0);
    EXPECT_TRUE(content_of(output()) == content_of(database()));
}

TEST_F(ExportCommand, AClimatologyNeedsYears) {
    test::Region region;
    region.add_plain_grids(north_up(8.0, 51.0, 0.25, 32, 32));
    std::string recipe = content_of(region.write_recipe());
    const std::string period = "period = \"1991-2020\"";
    for (std::size_t at = recipe.find(period); at != std::string::npos; at = recipe.find(period))
        recipe.replace(at, period.size(), "period = \"some years\"");
    write_text(region.path("recipe.toml"), recipe);
    const std::string path = region.path("years.sqlite");
    ASSERT_EQ(builder({"build", region.path("recipe.toml"), "-o", path}).status, 0);
    const ProgramRun refused = builder({"export", path, "--as", "netcdf", "-o", output()});
    EXPECT_EQ(refused.status, 3);
    EXPECT_NE(refused.err.find("\"some years\" names no years"), std::string::npos) << refused.err;
    EXPECT_FALSE(std::filesystem::exists(output()));
    EXPECT_EQ(builder({"export", path, "--as", "geotiff", "-o", output()}).status, 0);
}

TEST_F(ExportCommand, HelpStatesWhereTheSourcesAreWritten) {
    const ProgramRun help = builder({"export", "--help"});
    EXPECT_EQ(help.status, 0);
    EXPECT_NE(help.out.find("OUT.sources.txt"), std::string::npos);
    for (const char* format : kFormats) EXPECT_NE(help.out.find(format), std::string::npos);
    EXPECT_EQ(builder({"join", "--help"}).status, 0);
}

}  // namespace
}  // namespace thirstline
