// The command join, through the program: parts of the sample valley, overlapping baselines, and
// everything that must be rejected.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "schema/database/history.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::content_of;
using test::lookup;
using test::ProgramRun;
using test::Region;

const std::string kMerrowRecipe = THIRSTLINE_SAMPLE_INPUTS "/merrow.toml";
constexpr int kTileRows = 6;

class JoinCommand : public testing::Test {
  protected:
    std::string part(int first, int end) const {
        const std::string rows = std::to_string(first) + ":" + std::to_string(end);
        const std::string path = folder_ / ("rows " + rows + ".sqlite");
        const ProgramRun run =
            builder({"build", kMerrowRecipe, "-o", path, "--overwrite", "--tile-rows", rows});
        EXPECT_EQ(run.status, 0) << run.err;
        return path;
    }
    std::string whole() const {
        const std::string path = folder_ / "whole.sqlite";
        EXPECT_EQ(builder({"build", kMerrowRecipe, "-o", path, "--overwrite"}).status, 0);
        return path;
    }
    ProgramRun join(const std::vector<std::string>& paths,
                    const std::vector<std::string>& more = {}) const {
        std::vector<std::string> arguments{"join", "-o", output(), "--overwrite"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        arguments.insert(arguments.end(), paths.begin(), paths.end());
        return builder(arguments);
    }
    std::string output() const { return folder_ / "joined.sqlite"; }

    TempFolder folder_;
};

TEST_F(JoinCommand, AreTheWholeByteForByteHoweverTheyWereSplit) {
    const std::string whole_bytes = content_of(whole());
    std::uint32_t state = 20'261'125;
    const auto drawn = [&state](std::uint32_t below) {
        state = state * 1'664'525 + 1'013'904'223;
        return (state >> 16) % below;
    };
    for (int run = 0; run < 4; ++run) {
        std::vector<std::string> parts;
        std::string rows = "rows";
        for (int first = 0; first < kTileRows;) {
            const int end = std::min(kTileRows, first + 1 + static_cast<int>(drawn(4)));
            parts.insert(parts.begin() + drawn(static_cast<std::uint32_t>(parts.size()) + 1),
                         part(first, end));
            rows += " " + std::to_string(first) + ":" + std::to_string(end);
            first = end;
        }
        SCOPED_TRACE(rows);
        const ProgramRun joined = join(parts);
        ASSERT_EQ(joined.status, 0) << joined.err;
        EXPECT_EQ(joined.err + joined.out, "");
        EXPECT_TRUE(content_of(output()) == whole_bytes);
    }
}

TEST_F(JoinCommand, MayBeJoinedStepByStep) {
    ASSERT_EQ(join({part(4, 6), part(0, 2)}, {"--partial"}).status, 0);
    EXPECT_EQ(test::opened(output())->metadata("tile_rows"), "0:2 4:6 of 6");
    test::expect_whole(output());
    const std::string so_far = folder_ / "so far.sqlite";
    std::filesystem::rename(output(), so_far);
    ASSERT_EQ(join({so_far, part(2, 4)}).status, 0);
    EXPECT_TRUE(content_of(output()) == content_of(whole()));
}

TEST_F(JoinCommand, WithAHoleAreRefusedOrSaySo) {
    const std::string south = part(0, 2);
    const std::string north = part(4, 6);
    const ProgramRun refused = join({north, south, south});
    EXPECT_EQ(refused.status, 3);
    EXPECT_TRUE(test::is_one_sentence(refused.err)) << refused.err;
    // The lattice begins at 44.0 N, in the second row of a tile of 8 × 120″.
    for (const char* words : {"tile rows 2:4 of 6", "44.4 to 44.9", "--partial"})
        EXPECT_NE(refused.err.find(words), std::string::npos) << refused.err;
    EXPECT_FALSE(std::filesystem::exists(output()));

    ASSERT_EQ(join({north, south}, {"--partial"}).status, 0);
    const std::string lacks = "database is incomplete: it lacks the points from 44.4";
    EXPECT_NE(builder({"verify", output()}).out.find(lacks), std::string::npos);
    EXPECT_NE(builder({"info", output()}).out.find("0:2 4:6 of 6; missing: 44.4"),
              std::string::npos);
    const Json rows = Json::parse(builder({"info", output(), "--format", "json"}).out);
    EXPECT_EQ(rows["rows_present"]["tile_rows"], Json({{0, 2}, {4, 6}}));
    // South of the hole, and in it.
    const Json answer = Json::parse(
        lookup({"site", "--db", output(), "--at", "44.2,-37.5", "--format", "json"}).out);
    EXPECT_NE(answer["baseline"]["notice"].get<std::string>().find(lacks), std::string::npos);
    EXPECT_NE(lookup({"site", "--db", output(), "--at", "44.65,-37.5"}).err.find(lacks),
              std::string::npos);
    const std::string table = folder_ / "table.csv";
    ASSERT_EQ(builder({"export", output(), "--as", "csv", "-o", table}).status, 0);
    EXPECT_NE(content_of(folder_ / "table.sources.txt").find(lacks), std::string::npos);
    // A district of it still says so.
    const std::string district = folder_ / "district.sqlite";
    ASSERT_EQ(builder({"export", output(), "--as", "sqlite", "-o", district, "--bbox",
                       "-37.7,44,-37.3,44.2"})
                  .status,
              0);
    EXPECT_NE(builder({"verify", district}).out.find(lacks), std::string::npos);
}

TEST_F(JoinCommand, MayNameAPartTwice) {
    const std::string copy = folder_ / "copy.sqlite";
    const std::string south = part(0, 3);
    std::filesystem::copy_file(south, copy);
    const ProgramRun run = join({south, part(3, 6), south, copy});
    EXPECT_EQ(run.status, 0) << run.err;
    EXPECT_TRUE(content_of(output()) == content_of(whole()));
}

TEST_F(JoinCommand, OfAnotherRecipeAreNotTakenForAnOverlay) {
    std::string recipe = content_of(kMerrowRecipe);
    recipe.replace(recipe.find("reach_km = 10"), 13, "reach_km = 20");
    for (std::size_t at = 0; (at = recipe.find("path = \"", at)) != std::string::npos; ++at) {
        const bool is_archive = recipe.compare(at + 8, 8, "/vsizip/") == 0;
        recipe.insert(at + (is_archive ? 16 : 8), THIRSTLINE_SAMPLE_INPUTS "/");
    }
    test::write_text(folder_ / "wider.toml", recipe);
    const std::string north = folder_ / "north.sqlite";
    ASSERT_EQ(builder({"build", folder_ / "wider.toml", "-o", north, "--tile-rows", "3:6"}).status,
              0);
    const ProgramRun run = join({part(0, 3), north});
    EXPECT_EQ(run.status, 3);
    EXPECT_NE(run.err.find("reach_km is 10 and 20"), std::string::npos) << run.err;
}

TEST_F(JoinCommand, PlannedPartsAreBalancedAndMakeTheWhole) {
    const Json plan = Json::parse(builder({"build", kMerrowRecipe, "--plan", "3"}).out);
    ASSERT_EQ(plan["parts"].size(), 3U);
    EXPECT_EQ(plan["tile_rows"], kTileRows);
    std::vector<std::string> parts;
    std::int64_t points = 0;
    for (const Json& planned : plan["parts"]) {
        parts.push_back(folder_ / ("part " + std::to_string(parts.size()) + ".sqlite"));
        ASSERT_EQ(
            builder({"build", kMerrowRecipe, "-o", parts.back(), "--part", planned["part"]}).status,
            0);
        const auto built = test::opened(parts.back());
        EXPECT_EQ(built->metadata("tile_rows"), planned["tile_rows"].get<std::string>() + " of 6");
        // Every point of so small a lattice is in the sample; those without ETo count, too.
        EXPECT_NEAR(planned["points"].get<double>(), std::stod(built->metadata("points")), 15.0);
        EXPECT_LT(planned["points"], 700);
        points += planned["points"].get<std::int64_t>();
    }
    EXPECT_NEAR(static_cast<double>(points), 1423.0, 20.0);
    ASSERT_EQ(join(parts).status, 0);
    EXPECT_TRUE(content_of(output()) == content_of(whole()));
    const std::string none = folder_ / "none.sqlite";
    for (const char* part : {"0/3", "4/3", "1", "1/", "a/b", "1/3/4", "3/9"}) {
        const ProgramRun run = builder({"build", kMerrowRecipe, "-o", none, "--part", part});
        EXPECT_EQ(run.status, 2) << part << run.err;
    }
    EXPECT_EQ(builder({"build", kMerrowRecipe}).status, 2);
    EXPECT_EQ(builder({"build", kMerrowRecipe, "-o", none, "--plan", "2"}).status, 2);
}

TEST_F(JoinCommand, ThatOverlapAreRefused) {
    const ProgramRun run = join({part(0, 4), part(3, 6)});
    EXPECT_EQ(run.status, 3);
    EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    EXPECT_NE(run.err.find("tile rows overlap: 0:4 of 6, and 3:6 of 6"), std::string::npos)
        << run.err;
    EXPECT_FALSE(std::filesystem::exists(output()));
}

TEST_F(JoinCommand, OfSubsetsAnswerForEach) {
    const std::string all = whole();
    const auto subset = [&](const std::string& name, const std::string& box) {
        const std::string path = folder_ / name;
        const ProgramRun run =
            builder({"export", all, "--as", "sqlite", "-o", path, "--bbox", box});
        EXPECT_EQ(run.status, 0) << run.err;
        return path;
    };
    const std::string east = subset("east.sqlite", "-37.61,44.2,-37.2,44.9");
    const std::string west = subset("west.sqlite", "-38.1,44.2,-37.61,44.9");
    ASSERT_EQ(join({west, east}).status, 0);
    test::expect_whole(output());
    const auto joined = test::opened(output());
    const auto parent = test::opened(all);
    EXPECT_EQ(joined->metadata("subset_selection"),
              "box -38.1,44.2,-37.61,44.9; box -37.61,44.2,-37.2,44.9");
    for (std::int32_t lat = 442'000'000; lat <= 449'000'000; lat += 7'654'321) {
        for (std::int32_t lon = -381'000'000; lon <= -372'000'000; lon += 3'456'789)
            ASSERT_EQ(test::answer_text(*joined, {lat, lon}),
                      test::answer_text(*parent, {lat, lon}));
    }
}

TEST_F(JoinCommand, AreVerifiedFirst) {
    const std::string south = part(0, 3);
    test::run_on_file(south, test::kDamageOfATile);
    const ProgramRun run = join({part(3, 6), south});
    EXPECT_EQ(run.status, 4);
    EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    EXPECT_NE(run.err.find(south), std::string::npos) << run.err;
    EXPECT_FALSE(std::filesystem::exists(output()));
}

TEST_F(JoinCommand, TheOutputIsGuarded) {
    const std::string south = part(0, 3);
    const std::string north = part(3, 6);
    EXPECT_EQ(builder({"join", south, north, "-o", south, "--overwrite"}).status, 2);
    EXPECT_EQ(builder({"join", south, north, "-o", north}).status, 2);
    EXPECT_EQ(builder({"join", south, north, "-o", folder_ / "no folder/x.sqlite"}).status, 5);
    EXPECT_EQ(builder({"join", south, folder_ / "absent.sqlite", "-o", output()}).status, 5);
    EXPECT_EQ(builder({"join", "-o", output()}).status, 2);
    EXPECT_EQ(builder({"join", south, kMerrowRecipe, "-o", output()}).status, 4);
    test::write_text(output(), "existing content");
    EXPECT_EQ(builder({"join", south, north, "-o", output()}).status, 2);
    const auto before = test::names_in(folder_ / ".");
    test::RunOptions full;
    full.most_bytes_of_a_file = 100'000;
    const ProgramRun run = builder({"join", south, north, "-o", output(), "--overwrite"}, full);
    EXPECT_EQ(run.status, 5) << run.err;
    EXPECT_EQ(test::names_in(folder_ / "."), before);
    EXPECT_EQ(content_of(output()), "existing content");
}

/// A coarse baseline of a wide box, and a finer one of a part of it with a climate, a period and
/// layers of its own.
class Overlay : public testing::Test {
  protected:
    void SetUp() override {
        wide_.add_plain_grids(north_up(8.0, 51.0, 0.25, 32, 32));
        wide_.lattice = "spacing_arcsec = 1800\nbbox = [9, 44, 15, 50]\nreach_km = 40\n";
        wide_.baseline = "notice = \"The wide one is invented.\"\n";
        using enum Variable;
        for (const Variable variable : {tmax, tmin, vapour_pressure, wind, radiation, rain}) {
            const Field wetter = [variable](LatLon at, int month) {
                return test::plain_climate(variable, at, month) + (variable == rain ? 11.0 : 0.0);
            };
            fine_.add_grid(variable, north_up(10.0, 48.0, 0.1, 20, 20), wetter, "", "",
                           "1981-2010");
        }
        fine_.lattice = "spacing_arcsec = 360\nbbox = [10.2, 46.2, 11.8, 47.8]\nreach_km = 10\n";
        fine_.baseline = "notice = \"The fine one, too.\"\n";
        fine_.rest = "[output]\nlayers = []\n";
    }
    ProgramRun join() {
        wide_.build();
        fine_.build();
        return builder({"join", fine_.path("out.sqlite"), wide_.path("out.sqlite"), "-o", output(),
                        "--overwrite"});
    }
    std::string output() const { return wide_.path("both.sqlite"); }
    static Json site(const std::string& database, const std::string& at) {
        return Json::parse(lookup({"site", "--db", database, "--at", at, "--format", "json"}).out);
    }

    Region wide_;
    Region fine_;
};

TEST_F(Overlay, TheFinerAnswersWhereItIsAndTheCoarserElsewhere) {
    const ProgramRun run = join();
    ASSERT_EQ(run.status, 0) << run.err;
    test::expect_whole(output());
    const Json inside = site(output(), "47.013,11.027");
    const Json fine = site(fine_.path("out.sqlite"), "47.013,11.027");
    const Json outside = site(output(), "45.013,12.027");
    const Json wide = site(wide_.path("out.sqlite"), "45.013,12.027");
    for (std::size_t m = 0; m < kMonths; ++m) {
        EXPECT_EQ(inside["months"][m]["eto_mm"], fine["months"][m]["eto_mm"]);
        EXPECT_EQ(inside["months"][m]["rain_mm"], fine["months"][m]["rain_mm"]);
        EXPECT_TRUE(inside["months"][m]["tmax_c"].is_null());  // the finer one keeps none
        EXPECT_EQ(outside["months"][m], wide["months"][m]);
    }
    EXPECT_EQ(inside["point"]["period"], "1981-2010");
    EXPECT_EQ(outside["point"]["period"], "1991-2020");
    EXPECT_EQ(inside["baseline"]["notice"], "The wide one is invented. The fine one, too.");
    EXPECT_EQ(inside["sources"].size(), 12U);
    const auto joined = test::opened(output());
    ASSERT_EQ(joined->lattices().size(), 2U);
    EXPECT_EQ(joined->lattices()[0].spacing_arcsec, 1800);
    EXPECT_EQ(joined->lattices()[1].spacing_arcsec, 360);
    EXPECT_GT(joined->lattices()[1].rank, joined->lattices()[0].rank);
}

TEST_F(Overlay, NamesTheLatticeThatAnswers) {
    ASSERT_EQ(join().status, 0);
    const Json inside = site(output(), "47.013,11.027")["point"]["lattice"];
    EXPECT_EQ(inside["spacing_arcsec"], 360);
    EXPECT_EQ(inside["id"], 2);
    EXPECT_EQ(site(output(), "45.013,12.027")["point"]["lattice"]["spacing_arcsec"], 1800);
    EXPECT_FALSE(site(fine_.path("out.sqlite"), "47.013,11.027")["point"].contains("lattice"));
    std::string text =
        lookup({"site", "--db", output(), "--at", "47.013,11.027", "--units", "metric"}).out;
    std::ranges::replace(text, '\n', ' ');
    EXPECT_NE(text.find("From the data of The Merrow valley, with"), std::string::npos) << text;
    // Each line of a batch is the same.
    test::write_text(wide_.path("sites.csv"), "lat,lon\n47.013,11.027\n");
    const ProgramRun lines = lookup(
        {"batch", "--db", output(), "--input", wide_.path("sites.csv"), "--format", "ndjson"});
    EXPECT_EQ(Json::parse(lines.out)["point"]["lattice"], inside) << lines.err;
}

TEST_F(Overlay, BlendsByDefault) {
    wide_.build();
    fine_.build();
    const auto rain_at_border = [this](const std::vector<std::string>& more) {
        std::vector<std::string> command{
            "join",       fine_.path("out.sqlite"), wide_.path("out.sqlite"), "-o", output(),
            "--overwrite"};
        command.insert(command.end(), more.begin(), more.end());
        const ProgramRun run = builder(command);
        EXPECT_EQ(run.status, 0) << run.err;
        return site(output(), "46.2,11")["months"][0]["rain_mm"].get<double>();
    };
    const double fine = site(fine_.path("out.sqlite"), "46.2,11")["months"][0]["rain_mm"];
    const double wide = site(wide_.path("out.sqlite"), "46.2,11")["months"][0]["rain_mm"];
    EXPECT_NEAR(fine - wide, 11.0, 1.0);
    EXPECT_EQ(rain_at_border({"--blend-km", "0"}), fine);
    EXPECT_EQ(rain_at_border({}), wide);
    EXPECT_EQ(test::opened(output())->metadata("overlay_blend_km"), "30");
    for (const char* width : {"-1", "1001", "2.5", "wide"})
        EXPECT_EQ(builder({"join", fine_.path("out.sqlite"), wide_.path("out.sqlite"), "-o",
                           output(), "--overwrite", "--blend-km", width})
                      .status,
                  2)
            << width;
}

TEST_F(Overlay, TakesTheTextsOfItsOwnFromTheCommand) {
    wide_.build();
    fine_.build();
    const auto with = [this](const std::vector<std::string>& more) {
        std::vector<std::string> command{
            "join",       fine_.path("out.sqlite"), wide_.path("out.sqlite"), "-o", output(),
            "--overwrite"};
        command.insert(command.end(), more.begin(), more.end());
        return builder(command);
    };
    const ProgramRun run =
        with({"--title", "Both of the Merrow's", "--publisher", "Merrow Water (invented)",
              "--edition", "2026.1", "--date", "2026-12-01", "--doi", "doi:10.1234/abcd",
              "--notice", "", "--blend-km", "12"});
    ASSERT_EQ(run.status, 0) << run.err;
    test::expect_whole(output());
    const auto joined = test::opened(output());
    EXPECT_EQ(joined->metadata("title"), "Both of the Merrow's");
    EXPECT_EQ(joined->metadata("publisher"), "Merrow Water (invented)");
    EXPECT_EQ(joined->metadata("edition"), "2026.1");
    EXPECT_EQ(joined->metadata("date"), "2026-12-01");
    EXPECT_EQ(joined->metadata("doi"), "10.1234/abcd");
    EXPECT_EQ(joined->metadata("notice"), "");
    const auto history = history_steps(*joined);
    ASSERT_TRUE(history);
    EXPECT_EQ(history->back().title, "Both of the Merrow's");
    EXPECT_EQ(history->back().note,
              "--blend-km 12 --date '2026-12-01' --doi '10.1234/abcd' --edition '2026.1' --notice "
              "'' --publisher 'Merrow Water (invented)' --title 'Both of the Merrow'\\''s'");
    EXPECT_EQ(with({"--date", "2026-02-30"}).status, 2);
    EXPECT_EQ(with({"--doi", "abcd"}).status, 2);
    // Parts of one baseline keep the texts of its recipe.
    const ProgramRun parts = builder(
        {"join", wide_.path("out.sqlite"), "-o", wide_.path("again.sqlite"), "--title", "Another"});
    EXPECT_EQ(parts.status, 2);
    EXPECT_NE(parts.err.find("--title"), std::string::npos) << parts.err;
    EXPECT_FALSE(std::filesystem::exists(wide_.path("again.sqlite")));
}

TEST_F(Overlay, RequiresTheLatticeOfAFormatThatHoldsOne) {
    ASSERT_EQ(join().status, 0);
    const std::string raster = wide_.path("eto.tif");
    const ProgramRun run = builder({"export", output(), "--as", "geotiff", "-o", raster});
    EXPECT_EQ(run.status, 2);
    EXPECT_NE(run.err.find("--lattice"), std::string::npos) << run.err;
    EXPECT_EQ(
        builder({"export", output(), "--as", "geotiff", "-o", raster, "--lattice", "2"}).status, 0);
    EXPECT_EQ(
        builder({"export", output(), "--as", "netcdf", "-o", wide_.path("x.nc"), "--lattice", "3"})
            .status,
        2);
    EXPECT_EQ(builder({"export", output(), "--as", "csv", "-o", wide_.path("x.csv")}).status, 0);
}

TEST_F(Overlay, OfAnotherReferenceSurfaceOrCorrectionIsRefused) {
    fine_.baseline = "reference = \"tall\"\n";
    ProgramRun run = join();
    EXPECT_EQ(run.status, 3);
    EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    EXPECT_NE(run.err.find("reference"), std::string::npos) << run.err;
    fine_.baseline = "site_correction = \"none\"\n";
    run = join();
    EXPECT_EQ(run.status, 3);
    EXPECT_NE(run.err.find("site_correction"), std::string::npos) << run.err;
    fine_.baseline = "soil_heat_flux = \"monthly\"\n";
    run = join();
    EXPECT_EQ(run.status, 3);
    EXPECT_NE(run.err.find("soil_heat_flux"), std::string::npos) << run.err;
    EXPECT_FALSE(std::filesystem::exists(output()));
}

TEST_F(Overlay, OfAPostalCodeAtAnotherPlaceIsRefusedByName) {
    const auto codes = [](Region& region, const std::string& rows) {
        test::write_text(region.path("codes.csv"), "code,lat,lon,place\n" + rows);
        region.rest +=
            "[[postal]]\ncountry = \"XM\"\npath = \"codes.csv\"\nlayout = \"csv\"\n"
            "columns = { code = \"code\", lat = \"lat\", lon = \"lon\", place = "
            "\"place\" }\n";
    };
    codes(wide_, "04101,46.5,11,Merrowmouth\n04102,47,11,Thessle\n04103,45,12,Pellimoor\n");
    codes(fine_, "04101,46.5,11,Merrowmouth\n04102,47.01,11,Thessle\n");
    const ProgramRun run = join();
    EXPECT_EQ(run.status, 3);
    EXPECT_NE(run.err.find("postal code 04102 of XM"), std::string::npos) << run.err;
    EXPECT_EQ(run.err.find("04101"), std::string::npos) << run.err;
    EXPECT_FALSE(std::filesystem::exists(output()));
}

TEST_F(Overlay, OfTheSameLatticeWithOtherSourcesIsAContradiction) {
    fine_.lattice = wide_.lattice;
    fine_.rest.clear();
    const ProgramRun run = join();
    EXPECT_EQ(run.status, 3);
    EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    EXPECT_NE(run.err.find("notice is"), std::string::npos) << run.err;
    EXPECT_NE(run.err.find("source 1"), std::string::npos) << run.err;
}

TEST_F(Overlay, OverAPartIsRefused) {
    wide_.build();
    fine_.build();
    const std::string part = wide_.path("part.sqlite");
    ASSERT_EQ(
        builder({"build", wide_.path("recipe.toml"), "-o", part, "--tile-rows", "0:1"}).status, 0);
    const ProgramRun run = builder({"join", part, fine_.path("out.sqlite"), "-o", output()});
    EXPECT_EQ(run.status, 3);
    EXPECT_NE(run.err.find("have only the tile rows 0:1"), std::string::npos) << run.err;
}

}  // namespace
}  // namespace thirstline
