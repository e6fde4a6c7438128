// Wet and dry years from the records of the sample valley to the look-up's answers: every form of
// the file gives the same, and the year has the need that the station's years had.
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "tests/support/program_run.hpp"
#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::content_of;
using test::lookup;
using test::ProgramRun;

const std::string kRecordInputs = THIRSTLINE_SAMPLE_INPUTS;
const std::string kRecordRecipe = kRecordInputs + "/merrow-record.toml";

class DryYearsOfTheValley : public testing::Test {
  protected:
    static void SetUpTestSuite() {
        folder_ = new TempFolder;
        const ProgramRun run =
            builder({"build", kRecordRecipe, "-o", file(), "--report", report()});
        ASSERT_EQ(run.status, 0) << run.err;
    }
    static void TearDownTestSuite() { delete folder_; }

    static std::string path(const std::string& name) { return *folder_ / name; }
    static std::string file() { return path("record.sqlite"); }
    static std::string report() { return path("report.json"); }
    static std::string site(const std::string& database, const std::string& year) {
        const ProgramRun run = lookup({"site", "--db", database, "--at", "44.533,-37.448", "--year",
                                       year, "--format", "json"});
        EXPECT_EQ(run.status, 0) << run.err;
        return run.out;
    }
    /// Recipe keys are relative to its folder: paths of the sample inputs are made absolute.
    static std::string changed_recipe(const std::string& from, const std::string& to) {
        std::string recipe = content_of(kRecordRecipe);
        for (std::size_t at = 0; (at = recipe.find("\npath = \"", at)) != std::string::npos;)
            recipe.insert(at += 9, kRecordInputs + "/");
        const std::size_t at = recipe.find(from);
        EXPECT_NE(at, std::string::npos) << from;
        recipe.replace(at, from.size(), to);
        test::write_text(path("changed.toml"), recipe);
        return path("changed.toml");
    }

    static TempFolder* folder_;
};
TempFolder* DryYearsOfTheValley::folder_ = nullptr;

// At the station itself the file's normals are nearly its own, so that the years rank as its own.
TEST_F(DryYearsOfTheValley, HaveTheNeedOfTheStationsYears) {
    const Json records = Json::parse(content_of(report()))["records"];
    const Json years = records[0]["stations"][0]["lawn_need"];
    ASSERT_FALSE(years.is_null());
    EXPECT_GE(years["years"].get<int>(), 20);
    EXPECT_GE(years["mean_mm"].get<double>(), years["of_normals_mm"].get<double>());
    const Json mean = Json::parse(site(file(), "mean"));
    const Json dry = Json::parse(site(file(), "dry"));
    const Json wet = Json::parse(site(file(), "wet"));
    const auto need = [](const Json& json) { return json["year"]["lawn_need_mm"].get<double>(); };
    EXPECT_EQ(mean["year"]["kind"], "mean");
    EXPECT_TRUE(mean["year"]["percent"].is_null());
    EXPECT_EQ(dry["year"]["percent"], 80.0);
    EXPECT_EQ(mean["year"]["lawn_need_of_dry_year_mm"], dry["year"]["lawn_need_mm"]);
    // From wet to dry, 2 · 0.87 standard deviations of thirty years.
    const double deviation = years["standard_deviation_mm"].get<double>();
    EXPECT_NEAR(need(dry) - need(wet), 2 * 0.87 * deviation, 0.1 * deviation);
    EXPECT_NEAR(mean["year"]["percent_above_normals"].get<double>(),
                100.0 * years["share_above_normals"].get<double>(), 1.0);
    EXPECT_GT(dry["annual"]["eto_mm"], mean["annual"]["eto_mm"]);
    EXPECT_LT(dry["annual"]["rain_mm"], mean["annual"]["rain_mm"]);
    EXPECT_EQ(dry["months"][6]["tmax_c"], mean["months"][6]["tmax_c"]);
    EXPECT_GT(dry["months"][6]["eto_se_mm"], mean["months"][6]["eto_se_mm"]);
}

TEST_F(DryYearsOfTheValley, AreTheSameInEveryFormOfTheFile) {
    const std::string dry = site(file(), "dry");
    const std::string compact = changed_recipe("[output]", "[output]\ncode = \"compact\"");
    ASSERT_EQ(builder({"build", compact, "-o", path("compact.sqlite")}).status, 0);
    EXPECT_EQ(site(path("compact.sqlite"), "dry"), dry);
    ASSERT_EQ(builder({"export", file(), "--as", "sqlite", "-o", path("part.sqlite"), "--bbox",
                       "-37.5,44.5,-37.4,44.6"})
                  .status,
              0);
    EXPECT_EQ(site(path("part.sqlite"), "dry"), dry);
    for (const char* rows : {"0:1", "1:3"}) {
        const ProgramRun run = builder({"build", kRecordRecipe, "-o",
                                        path(std::string(rows) + ".sqlite"), "--tile-rows", rows});
        ASSERT_EQ(run.status, 0) << run.err;
    }
    const ProgramRun join =
        builder({"join", path("0:1.sqlite"), path("1:3.sqlite"), "-o", path("joined.sqlite")});
    ASSERT_EQ(join.status, 0) << join.err;
    EXPECT_EQ(content_of(path("joined.sqlite")), content_of(file()));
    // Other formats have the means only.
    for (const char* format : {"csv", "geopackage"}) {
        const ProgramRun run = builder({"export", file(), "--as", format, "-o", path(format)});
        EXPECT_EQ(run.status, 0) << run.err;
    }
    const std::string table = content_of(path("csv"));
    EXPECT_TRUE(table.substr(0, table.find('\n')).ends_with(",method,method_note,period,lattice"));
    for (const char* name : {"record.sqlite", "compact.sqlite", "part.sqlite"})
        EXPECT_EQ(lookup({"verify", "--db", path(name)}).status, 0) << name;
}

TEST_F(DryYearsOfTheValley, AreRefusedWhereThereAreNone) {
    const std::string means =
        changed_recipe("layers = [\"temperature\", \"years\"]", "layers = [\"temperature\"]");
    ASSERT_EQ(builder({"build", means, "-o", path("means.sqlite")}).status, 0);
    const ProgramRun dry =
        lookup({"site", "--db", path("means.sqlite"), "--at", "44.533,-37.448", "--year", "dry"});
    EXPECT_EQ(dry.status, 1);
    EXPECT_NE(dry.err.find("the file has no wet and dry years here"), std::string::npos) << dry.err;
    EXPECT_EQ(lookup({"site", "--db", file(), "--at", "44.533,-37.448", "--year", "99"}).status, 2);
    // The file's size is measured in tests/benchmarks/RESULTS.md.
    EXPECT_LT(std::filesystem::file_size(path("means.sqlite")), std::filesystem::file_size(file()));
    // Nine years are no record of years.
    const std::string short_record = changed_recipe(
        "step = \"month\"\nperiod = \"1991-2020\"",
        "step = \"month\"\ncompleteness = { min_years = 5 }\nperiod = \"2012-2020\"");
    const ProgramRun failed = builder({"build", short_record, "-o", path("none.sqlite")});
    EXPECT_EQ(failed.status, 3);
    EXPECT_NE(failed.err.find("no station has the years that layers = [\"years\"] needs"),
              std::string::npos)
        << failed.err;
    EXPECT_FALSE(std::filesystem::exists(path("none.sqlite")));
}

// What a contractor and an agency ask: what the dry year needs and costs, and whether the
// allowance is enough.
TEST_F(DryYearsOfTheValley, SayByHowMuchAnAllowanceIsShort) {
    const auto demand = [](const std::string& allowance_m3, const std::string& year) {
        const ProgramRun run =
            lookup({"demand", "--db", file(), "--at", "44.533,-37.448", "--planting", "cool turf",
                    "--area-ft2", "1500", "--rate-in-per-h", "1.4", "--yearly-allowance-m3",
                    allowance_m3, "--year", year, "--format", "json"});
        EXPECT_EQ(run.status, 0) << run.err;
        return Json::parse(run.out);
    };
    const Json mean = demand("100", "mean");
    const Json& needs = mean["year_needs"];
    const double dry_l = needs["dry"]["volume_l"].get<double>();
    EXPECT_GT(dry_l, needs["normals"]["volume_l"].get<double>());
    EXPECT_NEAR(needs["normals"]["volume_l"].get<double>(),
                mean["site"]["need"]["volume_l"].get<double>(), 0.1);
    EXPECT_NEAR(needs["dry_allowance_short_l"].get<double>(), std::max(0.0, dry_l - 100'000.0),
                0.1);
    const Json dry = demand("9999", "dry");
    EXPECT_NEAR(dry["site"]["need"]["volume_l"].get<double>(), dry_l, 0.1);
    EXPECT_EQ(dry["year_needs"]["dry_allowance_short_l"], 0.0);
}

}  // namespace
}  // namespace thirstline
