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
    static Json evaluated(const std::string& data, const char* bbox,
                          std::initializer_list<std::string> how) {
        const TempFolder folder;
        test::write_text(folder / "recipe.toml",
                         "[baseline]\ntitle = \"Open stations\"\nregion = \"Region\"\n"
                         "period = \"1991-2020\"\n[lattice]\nspacing_arcsec = 1800\nbbox = " +
                             std::string(bbox) + "\nreach_km = 50\n" + test::open_grids(data) +
                             test::open_stations(data));
        std::vector<std::string> arguments{"evaluate", folder / "recipe.toml", "--format", "json"};
        arguments.insert(arguments.end(), how);
        const ProgramRun run = builder(arguments);
        EXPECT_EQ(run.status, 0) << run.err;
        return run.status == 0 ? Json::parse(run.out) : Json();
    }

    // Not in SetUpTestSuite: what fails there skips the tests, and a skipped test is not a red one.
    void SetUp() override {
        const std::string data =
            test::open_data_folder({"cru-cl1-1961-1990", "wmo-normals-1991-2020", "elevation"});
        if (data.empty()) GTEST_SKIP() << test::kNoOpenData;
        if (!scores_.is_null()) return;
        scores_ = evaluated(data, "[4, 40, 28, 52]", {"--folds", "10"});
        ASSERT_FALSE(scores_.is_null());
    }

    static Json score(const std::string& variable, const std::string& estimator) {
        return score_of(scores_, "Europe", variable, estimator);
    }
    static Json score_of(const Json& scores, const std::string& region, const std::string& variable,
                         const std::string& estimator) {
        for (const Json& row : scores["scores"]) {
            if (row["variable"] == variable && row["estimator"] == estimator &&
                row["region"] == region && row["month"] == 0 && row["distance_class"] == "all")
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

// Between the grids' 1961-1990 and the stations' 1991-2020 all of East Asia became warmer. Where a
// country has no stations at all, those of its neighbours say most of it: less than 0.6 of the
// grids' error remains (when the correction faded to nothing with distance, 0.77 and 0.83).
TEST_F(OpenEvaluation, ACountryWithoutStationsStillGetsTheWarming) {
    const Json scores = evaluated(test::open_data_folder({}), "[126, 30, 146, 46]",
                                  {"--leave-out-country", "Japan"});
    ASSERT_FALSE(scores.is_null());
    for (const char* variable : {"tmax", "tmin"}) {
        const double fused = score_of(scores, "world", variable, "fused")["mae"].get<double>();
        const double grids = score_of(scores, "world", variable, "background")["mae"].get<double>();
        EXPECT_LT(fused, 0.6 * grids) << variable;
        EXPECT_GT(fused, 0.1) << variable;
    }
}

}  // namespace
}  // namespace thirstline
