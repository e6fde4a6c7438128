// `check`: reports what a build would reject, without building.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::content_of;
using test::names_in;
using test::plain;
using test::plain_climate;
using test::ProgramRun;
using test::Region;

class CheckCommand : public testing::Test {
  protected:
    void make(bool is_sound) {
        const RasterShape shape = north_up(8.0, 51.0, 1.0, 8, 8);
        using enum Variable;
        for (const Variable variable : {tmax, vapour_pressure, radiation, rain})
            region_.add_grid(variable, shape, plain(variable));
        region_.add_grid(tmin, shape, [is_sound](LatLon at, int month) {
            const bool is_bad = !is_sound && at == LatLon{47.5, 10.5} && month == 2;
            return is_bad ? 32.0 : plain_climate(Variable::tmin, at, month);
        });
        region_.add_grid(wind, shape, [is_sound](LatLon at, int month) {
            const bool is_bad = !is_sound && at == LatLon{46.5, 13.5} && month == 6;
            return is_bad ? -1.0 : plain_climate(Variable::wind, at, month);
        });
        test::write_text(
            region_.path("postal.csv"),
            is_sound ? "zip,lat,lon\nA1,46.0,11.0\n" : "zip,lat,lon\nA1,46.0,11.0\nA2,99,12.0\n");
        region_.rest =
            "[[postal]]\ncountry = \"XM\"\npath = \"postal.csv\"\nlayout = \"csv\"\n"
            "columns = { code = \"zip\", lat = \"lat\", lon = \"lon\" }\n";
        recipe_ = region_.write_recipe();
    }
    Region region_;
    std::string recipe_;
};

TEST_F(CheckCommand, SoundSourcesHaveNothingSuspect) {
    make(true);
    const auto before = names_in(region_.folder());
    for (const bool strict : {false, true}) {
        std::vector<std::string> arguments{"check", recipe_};
        if (strict) arguments.emplace_back("--strict");
        const ProgramRun run = builder(arguments);
        EXPECT_EQ(run.status, 0);
        EXPECT_EQ(run.err, "");
        EXPECT_TRUE(run.out.starts_with("no suspect values\nSOURCES\n")) << run.out;
        EXPECT_NE(run.out.find("nothing is missing\n49 points and 1 postal code would be built\n"
                               "Licenses of the sources"),
                  std::string::npos)
            << run.out;
        EXPECT_NE(run.out.find("the file may be passed on: yes\n"), std::string::npos) << run.out;
    }
    EXPECT_EQ(names_in(region_.folder()), before);
}

TEST_F(CheckCommand, TextShowsEverySuspectWithItsPlace) {
    make(false);
    const ProgramRun run = builder({"check", recipe_});
    EXPECT_EQ(run.status, 0);  // a build would succeed
    EXPECT_EQ(run.err, "");
    for (const char* part :
         {"wind of the Merrow: negative wind: 1\n",
          "wind.tif at 46.500,13.500  wind, month 7  -1 m/s",
          "postal codes of XM: position is impossible: 1\n", "postal.csv:3  postal code A2",
          "99,12.0", "tmin of the Merrow: minimum temperature not below the maximum: ",
          "tmin.tif at 47.500,10.500  tmin, month 3", "would be built\n"}) {
        EXPECT_NE(run.out.find(part), std::string::npos) << part << "\n" << run.out;
    }
    EXPECT_EQ(run.out.find("no suspect values"), std::string::npos);
}

TEST_F(CheckCommand, JsonHasTheFieldsOfTheInterface) {
    make(false);
    const ProgramRun run = builder({"check", recipe_, "--format", "json"});
    EXPECT_EQ(run.status, 0);
    const Json json = Json::parse(run.out);
    EXPECT_EQ(json["schema_version"], 1);
    ASSERT_FALSE(json["suspects"].empty());
    bool has_wind = false;
    bool has_postal = false;
    for (const Json& suspect : json["suspects"]) {
        for (const char* field : {"source", "file", "line", "station", "variable", "month", "value",
                                  "rule", "action"}) {
            EXPECT_TRUE(suspect.contains(field)) << field;
        }
        EXPECT_EQ(suspect["action"], "not used");
        if (suspect["rule"] == "negative wind") {
            has_wind = true;
            EXPECT_EQ(suspect["file"], "wind.tif");
            EXPECT_EQ(suspect["month"], 7);
            EXPECT_TRUE(suspect["line"].is_null());
            EXPECT_EQ(suspect["lon"], 13.5);
        }
        if (suspect["rule"] == "position is impossible") {
            has_postal = true;
            EXPECT_EQ(suspect["line"], 3);
            EXPECT_TRUE(suspect["month"].is_null());
        }
    }
    EXPECT_TRUE(has_wind && has_postal);
    std::int64_t rejected = 0;
    for (const Json& source : json["counts"]["sources"]) {
        for (const auto& [rule, count] : source["rejected"].items())
            rejected += count.get<std::int64_t>();
    }
    EXPECT_EQ(json["counts"]["suspects"], rejected);
    EXPECT_EQ(json["counts"]["postal_codes"], 1);
}

TEST_F(CheckCommand, StrictEndsWithThreeAndStillShowsWhat) {
    make(false);
    const ProgramRun plain_run = builder({"check", recipe_});
    const ProgramRun run = builder({"check", recipe_, "--strict"});
    EXPECT_EQ(run.status, 3);
    EXPECT_EQ(run.out, plain_run.out);
    EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    EXPECT_NE(run.err.find("suspect"), std::string::npos);
}

TEST_F(CheckCommand, AgreesWithTheBuild) {
    make(false);
    const Json check = Json::parse(builder({"check", recipe_, "--format", "json"}).out);
    ASSERT_EQ(builder({"build", recipe_, "-o", region_.path("out.sqlite"), "--report",
                       region_.path("report.json")})
                  .status,
              0);
    const Json report = Json::parse(content_of(region_.path("report.json")));
    EXPECT_EQ(check["counts"]["points"], report["points"]);
    EXPECT_EQ(check["counts"]["incomplete_points"], report["incomplete_points"]);
    EXPECT_EQ(check["counts"]["postal_codes"], report["postal"]["codes"]);
    ASSERT_EQ(check["counts"]["sources"].size(), report["sources"].size());
    Json examples = Json::array();
    for (std::size_t i = 0; i < report["sources"].size(); ++i) {
        const Json& source = report["sources"][i];
        EXPECT_EQ(check["counts"]["sources"][i]["used"], source["used"]);
        EXPECT_EQ(check["counts"]["sources"][i]["rejected"], source["rejected"]);
        for (const Json& example : source["examples"]) examples.push_back(example);
    }
    EXPECT_EQ(check["suspects"], examples);
}

TEST_F(CheckCommand, ShowsNotesOfUnitsThatCannotBeRead) {
    make(true);
    RasterOptions options;
    options.unit = "wugs";
    const RasterShape shape = north_up(8.0, 51.0, 1.0, 8, 8);
    write_raster(region_.path("rain.tif"), shape, kMonths,
                 at_cell_centres(shape, plain(Variable::rain)), options);
    EXPECT_NE(builder({"check", recipe_}).out.find("note: "), std::string::npos);
    const Json json = Json::parse(builder({"check", recipe_, "--format", "json"}).out);
    ASSERT_EQ(json["warnings"].size(), 1U);
    EXPECT_NE(json["warnings"][0].get<std::string>().find("wugs"), std::string::npos);
}

}  // namespace
}  // namespace thirstline
