// Real stations over a real climatology, in and around the Alps and the Carpathians: left out, they
// are answered better than by their nearest neighbour or by the grids alone, with intervals that
// hold. Skipped where the data are not at hand: the folder is named by THIRSTLINE_OPEN_DATA.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/support/invented_region.hpp"
#include "tests/support/open_climate.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::ProgramRun;

class OpenEvaluation : public testing::Test {
  protected:
    // Not in SetUpTestSuite: what fails there skips the tests, and a skipped test is not a red one.
    void SetUp() override {
        const std::string data =
            test::open_data_folder({"cru-cl1-1961-1990", "wmo-normals-1991-2020", "elevation"});
        if (data.empty()) GTEST_SKIP() << test::kNoOpenData;
        if (!scores_.is_null()) return;
        const TempFolder folder;
        test::write_text(folder / "recipe.toml",
                         "[baseline]\ntitle = \"Mountains of Europe\"\nregion = \"Europe\"\n"
                         "period = \"1991-2020\"\n[lattice]\nspacing_arcsec = 1800\n"
                         "bbox = [4, 40, 28, 52]\nreach_km = 50\n" +
                             test::open_grids(data) + test::open_stations(data));
        const ProgramRun run =
            builder({"evaluate", folder / "recipe.toml", "--folds", "10", "--format", "json"});
        ASSERT_EQ(run.status, 0) << run.err;
        scores_ = Json::parse(run.out);
    }

    static Json score(const std::string& variable, const std::string& estimator) {
        for (const Json& row : scores_["scores"]) {
            if (row["variable"] == variable && row["estimator"] == estimator &&
                row["region"] == "Europe" && row["month"] == 0 && row["distance_class"] == "all")
                return row;
        }
        ADD_FAILURE() << "no score of " << variable << " by " << estimator;
        return {{"mae", 0.0}, {"coverage_90", 0.0}, {"interval_score", 0.0}, {"n", 0}};
    }
    static double error(const std::string& variable, const std::string& estimator) {
        return score(variable, estimator)["mae"].get<double>();
    }

    static inline Json scores_;
};

TEST_F(OpenEvaluation, StationsAndGridsTogetherErrLessThanEither) {
    for (const char* variable : {"tmax", "tmin", "rain", "eto_temperature_only"}) {
        EXPECT_GT(score(variable, "fused")["n"].get<int>(), 3000) << variable;
        for (const char* other : {"background", "nearest", "inverse_distance"})
            EXPECT_LT(error(variable, "fused"), error(variable, other)) << variable << other;
    }
}

TEST_F(OpenEvaluation, IntervalsHoldAndAreNarrowerThanTheGridsOwn) {
    const Json fused = score("rain", "fused");
    EXPECT_GT(fused["coverage_90"].get<double>(), 0.82);
    EXPECT_LT(fused["coverage_90"].get<double>(), 0.97);
    EXPECT_LT(fused["interval_score"].get<double>(),
              score("rain", "background")["interval_score"].get<double>());
}

// Temperature gains in every class of height. Rain gains over all of them: with fourteen stations
// in a class its difference is within chance.
TEST_F(OpenEvaluation, TheSitesElevationReducesErrorsInTheMountains) {
    int classes = 0;
    double rain_with = 0.0;
    double rain_without = 0.0;
    for (const Json& row : scores_["elevation_scores"]) {
        const double n = row["n"].get<double>();
        if (row["station"] == "within 300 m" || n < 100) continue;
        ++classes;
        const double with = row["mae_with_elevation"].get<double>();
        const double without = row["mae_without_elevation"].get<double>();
        if (row["variable"] == "rain") {
            rain_with += n * with;
            rain_without += n * without;
        } else {
            EXPECT_LT(with, without) << row;
        }
    }
    EXPECT_GE(classes, 8);
    EXPECT_LT(rain_with, rain_without);
}

}  // namespace
}  // namespace thirstline
