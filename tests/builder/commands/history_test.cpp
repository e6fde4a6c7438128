// What a file keeps of how it was made, and that a report accepts only what belongs to it.
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "schema/database/history.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/published_sites.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::content_of;
using test::ProgramRun;
using test::Region;

const std::string kRecipeOfHistory = THIRSTLINE_SAMPLE_INPUTS "/merrow.toml";

/// As coreutils compute it.
std::string sha256sum(const std::string& path) {
    return test::output_of("sha256sum < '" + path + "'")->substr(0, 64);
}

class History : public testing::Test {
  protected:
    // The Merrow valley and its scores, made once.
    static const std::string& database() {
        static const std::string path = [] {
            const std::string file = shared() / "merrow.sqlite";
            EXPECT_EQ(builder({"build", kRecipeOfHistory, "-o", file}).status, 0);
            return file;
        }();
        return path;
    }
    static const Json& scores() {
        static const Json json = [] {
            const ProgramRun run =
                builder({"evaluate", kRecipeOfHistory, "--folds", "3", "--format", "json"});
            EXPECT_EQ(run.status, 0) << run.err;
            return Json::parse(run.out);
        }();
        return json;
    }
    static const TempFolder& shared() {
        static const TempFolder folder;
        return folder;
    }

    std::string written(const Json& evaluation) const {
        test::write_text(folder_ / "scores.json", evaluation.dump());
        return folder_ / "scores.json";
    }
    /// Publishing is refused with a sentence that holds the words, and writes nothing.
    void expect_refused(const std::vector<std::string>& evaluations,
                        const std::vector<std::string>& recipes, const std::string& words,
                        const std::string& file = database()) const {
        const auto outcome =
            test::published(file, {folder_ / "site", false, evaluations, recipes, {}});
        ASSERT_FALSE(outcome) << words;
        EXPECT_EQ(outcome.error().code, ErrorCode::bad_input) << outcome.error().message;
        EXPECT_NE(outcome.error().message.find(words), std::string::npos)
            << outcome.error().message;
        EXPECT_FALSE(std::filesystem::exists(folder_ / "site"));
    }

    TempFolder folder_;
};

TEST_F(History, KeepsTheRecipeToTheByteAndTheHashesOfAllInputs) {
    const ProgramRun recipe = builder({"info", database(), "--recipe"});
    EXPECT_EQ(recipe.out, content_of(kRecipeOfHistory));
    const Json history =
        Json::parse(builder({"info", database(), "--format", "json"}).out)["history"];
    ASSERT_EQ(history.size(), 1U);
    EXPECT_EQ(history[0]["action"], "build");
    EXPECT_EQ(history[0]["recipe_sha256"], sha256sum(kRecipeOfHistory));
    EXPECT_EQ(scores()["recipe_sha256"], history[0]["recipe_sha256"]);
    std::string lines;
    for (const Json& file : scores()["input_files"]) {
        const std::string name = file["name"];
        // Those of wind.zip are not files of the folder.
        const std::string path = THIRSTLINE_SAMPLE_INPUTS "/" + name;
        if (std::filesystem::exists(path)) {
            EXPECT_EQ(file["sha256"], sha256sum(path));
        }
        lines += file["sha256"].get<std::string>() + "  " + name + "\n";
    }
    test::write_text(folder_ / "lines", lines);
    ASSERT_TRUE(test::output_of("LC_ALL=C sort -u -o '" + folder_ / "lines" + "' '" +
                                folder_ / "lines" + "'"));
    EXPECT_EQ(history[0]["input_files_sha256"], sha256sum(folder_ / "lines"));
}

TEST_F(History, IsVerified) {
    struct Alteration {
        const char* sql;
        const char* says;
    };
    for (const auto& [sql, says] : {
             Alteration{"UPDATE history SET recipe = recipe || '#'", "recipe's hash"},
             Alteration{"UPDATE history SET step = 2", "the step before it is missing"},
             Alteration{"UPDATE history SET inputs = '1'", "not before it"},
             Alteration{"UPDATE source_file SET sha256 = replace(sha256, 'a', 'b')",
                        "other inputs"},
         }) {
        const std::string altered = folder_ / "altered.sqlite";
        std::filesystem::copy_file(database(), altered,
                                   std::filesystem::copy_options::overwrite_existing);
        test::run_on_file(altered, sql);
        test::seal(altered);
        const ProgramRun run = builder({"verify", altered});
        EXPECT_EQ(run.status, 4) << sql;
        EXPECT_NE(run.err.find(says), std::string::npos) << run.err;
    }
}

TEST_F(History, LetsAReportHoldOnlyWhatBelongsToTheFile) {
    std::string other = content_of(kRecipeOfHistory);
    other.replace(other.find("reach_km = 10"), 13, "reach_km = 20");
    test::write_text(folder_ / "merrow.toml", other);
    expect_refused({}, {folder_ / "merrow.toml"}, "line 16 differs");

    Json evaluation = scores();
    evaluation["recipe_sha256"] = std::string(64, 'a');
    evaluation["title"] = "Openfield";
    expect_refused({written(evaluation)}, {}, "\"Openfield\", has SHA-256 aaaaaaaaaaaa…");
    evaluation = scores();
    evaluation["input_files"][0]["sha256"] = std::string(64, 'b');
    expect_refused({written(evaluation)}, {},
                   "its " + scores()["input_files"][0]["name"].get<std::string>() +
                       " has SHA-256 bbbbbbbbbbbb…");
    evaluation["input_files"].erase(0);
    expect_refused({written(evaluation)}, {}, "the build used ");
    evaluation = scores();
    evaluation["builder_version"] = "0.0.1";
    expect_refused({written(evaluation)}, {}, "of version 0.0.1 of the program");
    evaluation = scores();
    evaluation.erase("recipe_sha256");
    expect_refused({written(evaluation)}, {}, "do not state a recipe");

    // A file of before format 1.3.
    const std::string old = folder_ / "old.sqlite";
    std::filesystem::copy_file(database(), old);
    test::run_on_file(old, "DROP TABLE history");
    test::seal(old);
    EXPECT_EQ(builder({"verify", old}).status, 0);
    expect_refused({}, {kRecipeOfHistory}, "does not keep its recipe", old);
    EXPECT_EQ(builder({"info", old, "--recipe"}).status, 1);
}

TEST_F(History, OfAJoinedFileHasEveryStep) {
    Region wide;
    wide.add_plain_grids(north_up(8.0, 51.0, 0.25, 32, 32));
    wide.lattice = "spacing_arcsec = 1800\nbbox = [9, 44, 15, 50]\nreach_km = 40\n";
    wide.build();
    Region fine;
    fine.add_plain_grids(north_up(10.0, 48.0, 0.1, 20, 20));
    fine.lattice = "spacing_arcsec = 360\nbbox = [10.2, 46.2, 11.8, 47.8]\nreach_km = 10\n";
    fine.build();
    // A part of the finer one, over the coarser one.
    ASSERT_EQ(builder({"export", fine.path("out.sqlite"), "--as", "sqlite", "-o",
                       fine.path("east.sqlite"), "--bbox", "11,46.2,11.8,47.8"})
                  .status,
              0);
    const std::string both = folder_ / "both.sqlite";
    ASSERT_EQ(
        builder({"join", fine.path("east.sqlite"), wide.path("out.sqlite"), "-o", both}).status, 0);
    test::expect_whole(both);
    const auto history = history_steps(*test::opened(both));
    ASSERT_TRUE(history);
    ASSERT_EQ(history->size(), 4U);
    EXPECT_EQ((*history)[0].content_sha256,
              test::opened(wide.path("out.sqlite"))->metadata("content_sha256"));
    EXPECT_EQ((*history)[1].content_sha256,
              test::opened(fine.path("out.sqlite"))->metadata("content_sha256"));
    EXPECT_EQ((*history)[2].note, "box 11,46.2,11.8,47.8");
    EXPECT_EQ((*history)[2].inputs, std::vector{2});
    // The coarser one first, whatever the order of the command.
    EXPECT_EQ((*history)[3].inputs, (std::vector{1, 3}));

    EXPECT_EQ(builder({"info", both, "--recipe"}).status, 2);
    EXPECT_EQ(builder({"info", both, "--recipe", "--step", "2"}).out,
              content_of(fine.path("recipe.toml")));
    // Two recipes of the same name; a third that is not among them.
    const auto outcome = test::published(
        both,
        {folder_ / "site", false, {}, {wide.path("recipe.toml"), fine.path("recipe.toml")}, {}});
    ASSERT_TRUE(outcome) << outcome.error().message;
    const std::string report = content_of(folder_ / "site/report.html");
    for (const std::string& words :
         {std::string("thirstline-builder join the-merrow-valley-1.sqlite "
                      "the-merrow-valley-3.sqlite --blend-km 30 -o built.sqlite"),
          std::string("--as sqlite -o the-merrow-valley-3.sqlite   # box 11,46.2,11.8,47.8"),
          (*history)[0].content_sha256, std::string("spacing_arcsec = 1800"),
          std::string("spacing_arcsec = 360")})
        EXPECT_NE(report.find(words), std::string::npos) << words;
    std::filesystem::remove_all(folder_ / "site");
    expect_refused({}, {kRecipeOfHistory}, "is none of theirs", both);
}

}  // namespace
}  // namespace thirstline
