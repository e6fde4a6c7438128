// `evaluate`: the answers of a look-up at stations that were left out.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "tests/support/program_run.hpp"
#include "tests/support/station_region.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::is_one_sentence;
using test::kOddStation;
using test::kStationsOfRegion;
using test::plain_station;
using test::ProgramRun;
using test::Region;
using test::station_position;
using test::StationField;
using test::write_station_region;
using test::write_text;

constexpr double kOddC = 4.0;

/// The grids are 3 °C too cold and half too wet.
double shifted(Variable variable, int station, LatLon at, int month) {
    const double value = plain_station(variable, station, at, month);
    if (variable == Variable::tmax || variable == Variable::tmin) return value + 3.0;
    return variable == Variable::rain ? value / 1.5 : value;
}

/// Stations scatter by 1.5 °C about the grids, and one of them is 4 °C too warm.
double with_odd_station(Variable variable, int station, LatLon at, int month) {
    const double value = plain_station(variable, station, at, month);
    if (variable != Variable::tmax && variable != Variable::tmin) return value;
    if (station == kOddStation) return value + kOddC;
    return value + (station % 2 == 0 ? 1.5 : -1.5);
}

/// A hold-out table of one station with the temperatures of `with_odd_station`'s odd one.
std::string holdout_table(LatLon at) {
    std::string table = "month,lat,lon,name,remark,tmin_c,tmax_c\n";
    for (int month = 0; month < kMonths; ++month) {
        const auto value = [&](Variable variable) {
            return std::to_string(with_odd_station(variable, kOddStation, at, month));
        };
        table += std::to_string(month + 1) + "," + std::to_string(at.lat_deg) + "," +
                 std::to_string(at.lon_deg) + ",own,x," + value(Variable::tmin) + "," +
                 value(Variable::tmax) + "\n";
    }
    return table;
}

class EvaluateCommand : public testing::Test {
  protected:
    void make(const StationField& stations) { recipe_ = write_station_region(region_, stations); }

    Json scores(std::vector<std::string> arguments) {
        arguments.insert(arguments.begin(), {"evaluate", recipe_, "--format", "json"});
        const ProgramRun run = builder(arguments);
        EXPECT_EQ(run.status, 0) << run.err;
        EXPECT_EQ(run.err, "");
        return Json::parse(run.out)["scores"];
    }

    /// The world's score over the year.
    static Json score(const Json& scores, const std::string& variable, const std::string& estimator,
                      int month = 0) {
        for (const Json& row : scores) {
            if (row["variable"] == variable && row["estimator"] == estimator &&
                row["region"] == "world" && row["month"] == month && row["distance_class"] == "all")
                return row;
        }
        ADD_FAILURE() << "no score of " << variable << " by " << estimator;
        return {{"n", -1}, {"misses", -1}, {"mae", -1.0}, {"bias", 0.0}};
    }

    int status(const std::vector<std::string>& more, const std::string& word) {
        std::vector<std::string> arguments{"evaluate", recipe_};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const ProgramRun run = builder(arguments);
        EXPECT_EQ(run.out, "");
        EXPECT_TRUE(is_one_sentence(run.err)) << run.err;
        EXPECT_NE(run.err.find(word), std::string::npos) << run.err;
        return run.status;
    }

    Region region_;
    std::string recipe_;
};

TEST_F(EvaluateCommand, RightGridsHaveNoErrorBeyondRounding) {
    make(plain_station);
    const Json all = scores({"--folds", "4"});
    const std::vector<std::pair<std::string, double>> half_a_unit{{"tmax", 0.051},
                                                                  {"tmin", 0.051},
                                                                  {"rain", 0.51},
                                                                  {"eto", 0.01},
                                                                  {"eto_own_temperature", 0.01},
                                                                  {"eto_temperature_only", 0.03}};
    for (const auto& [variable, most] : half_a_unit) {
        for (const char* estimator : {"fused", "background"}) {
            const Json row = score(all, variable, estimator);
            EXPECT_EQ(row["n"], kMonths * kStationsOfRegion) << variable;
            EXPECT_EQ(row["misses"], 0);
            EXPECT_LT(row["mae"].get<double>(), most) << variable << " " << estimator;
        }
    }
    // Hargreaves–Samani knows neither wind nor humidity: its error is no rounding.
    EXPECT_GT(score(all, "eto_own_temperature", "hargreaves")["mae"].get<double>(), 0.05);
    EXPECT_EQ(score(all, "eto_in_peak_month", "fused")["n"], kStationsOfRegion);
    EXPECT_LT(score(all, "share_of_peak", "fused")["mae"].get<double>(), 0.5);
}

TEST_F(EvaluateCommand, StationsPutTheGridsRight) {
    make(shifted);
    const Json all = scores({});
    for (const char* variable : {"tmax", "tmin"}) {
        EXPECT_NEAR(score(all, variable, "background")["mae"].get<double>(), 3.0, 0.05);
        EXPECT_NEAR(score(all, variable, "background")["bias"].get<double>(), -3.0, 0.05);
        EXPECT_LT(score(all, variable, "fused")["mae"].get<double>(), 1.0);
        EXPECT_LT(score(all, variable, "nearest")["mae"].get<double>(), 0.01);
    }
    EXPECT_NEAR(score(all, "rain", "background")["bias"].get<double>(), 40.0 - 40.0 / 1.5, 0.3);
    EXPECT_LT(score(all, "rain", "fused")["mae"].get<double>(), 5.0);
    for (const char* month_name : {"fused", "background"})
        EXPECT_EQ(score(all, "rain", month_name, 7)["n"], kStationsOfRegion);
}

TEST_F(EvaluateCommand, AStationDoesNotHelpItself) {
    make(with_odd_station);
    // All stations of Oddland: the odd one alone.
    const Json odd = scores({"--leave-out-country", "oddland"});
    EXPECT_EQ(score(odd, "tmax", "fused")["n"], kMonths);
    EXPECT_GT(score(odd, "tmax", "fused")["mae"].get<double>(), 2.5);
    EXPECT_GT(score(odd, "tmax", "nearest")["mae"].get<double>(), 2.0);
}

TEST_F(EvaluateCommand, SaysWhatIsNotScored) {
    make(with_odd_station);
    // No name is like it; the stations' own are listed.
    const ProgramRun unknown = builder({"evaluate", recipe_, "--leave-out-country", "XYZ"});
    EXPECT_EQ(unknown.status, 1);
    EXPECT_EQ(unknown.err.find("did you mean"), std::string::npos) << unknown.err;
    EXPECT_NE(unknown.err.find("the stations' countries are "), std::string::npos) << unknown.err;
    EXPECT_NE(unknown.err.find("Oddland"), std::string::npos) << unknown.err;
    // A station of which nothing is scored is not counted, and an unknown column is named.
    LatLon at = station_position(kOddStation);
    at.lat_deg += 0.5;
    std::string table = holdout_table(at);
    table.replace(table.find("remark"), 6, "eto_mm");
    for (int month = 1; month <= kMonths; ++month)
        table += std::to_string(month) + ",45.9,11.9,silent,x,,\n";
    write_text(region_.path("own.csv"), table);
    const ProgramRun run =
        builder({"evaluate", recipe_, "--holdout", region_.path("own.csv"), "--format", "json"});
    EXPECT_EQ(run.status, 0) << run.err;
    EXPECT_EQ(Json::parse(run.out)["stations"], 1);
    EXPECT_NE(run.err.find("the column \"eto_mm\" is not used"), std::string::npos) << run.err;
}

TEST_F(EvaluateCommand, AStationNearbyIsLeftOutToo) {
    make(with_odd_station);
    LatLon beside = station_position(kOddStation);
    beside.lat_deg += 0.05;  // 5.6 km
    write_text(region_.path("own.csv"), holdout_table(beside));
    const Json without = scores({"--holdout", region_.path("own.csv")});
    const Json with = scores({"--holdout", region_.path("own.csv"), "--leave-out-km", "2"});
    EXPECT_EQ(score(without, "tmax", "fused")["n"], kMonths);
    EXPECT_GT(score(without, "tmax", "fused")["mae"].get<double>(), 2.5);
    EXPECT_LT(score(with, "tmax", "fused")["mae"].get<double>(),
              score(without, "tmax", "fused")["mae"].get<double>() - 0.5);
    EXPECT_LT(score(with, "tmax", "nearest")["mae"].get<double>(), 0.01);
}

TEST_F(EvaluateCommand, AStationBeyondTheReachIsAMiss) {
    make(plain_station);
    // 50 km reach; the lattice ends at 48.5 N.
    write_text(region_.path("own.csv"), holdout_table({49.6, 12.0}));
    const Json all = scores({"--holdout", region_.path("own.csv")});
    EXPECT_EQ(score(all, "tmax", "fused")["n"], 0);
    EXPECT_EQ(score(all, "tmax", "fused")["misses"], kMonths);
    EXPECT_TRUE(score(all, "tmax", "fused")["mae"].is_null());
    // Just outside the lattice the nearest point answers.
    write_text(region_.path("own.csv"), holdout_table({48.7, 12.0}));
    const Json near = scores({"--holdout", region_.path("own.csv")});
    EXPECT_EQ(score(near, "tmax", "fused")["n"], kMonths);
    EXPECT_NEAR(score(near, "tmax", "background")["mae"].get<double>(), kOddC, 0.1);
}

TEST_F(EvaluateCommand, JsonHasTheFieldsOfTheInterface) {
    make(shifted);
    const Json all = scores({"--folds", "3"});
    ASSERT_FALSE(all.empty());
    for (const Json& row : all) {
        for (const char* field :
             {"variable", "region", "month", "distance_class", "estimator", "n", "mae", "bias",
              "coverage_50", "coverage_90", "interval_score", "mean_width"})
            EXPECT_TRUE(row.contains(field)) << field;
    }
    const Json rain = score(all, "rain", "fused");
    EXPECT_TRUE(rain["coverage_90"].is_number());
    EXPECT_TRUE(score(all, "tmax", "fused")["coverage_90"].is_null());
}

TEST_F(EvaluateCommand, TextShowsWhatWasLeftOut) {
    make(shifted);
    const ProgramRun run = builder({"evaluate", recipe_, "--leave-out-country", "Oddland"});
    EXPECT_EQ(run.status, 0);
    for (const char* part :
         {"The Merrow valley\n1 station scored; left out with each: stations within 15 km of "
          "it, and all stations of Oddland\n",
          "Rain, % of observed\n", "as lattice", "FUSED OVER BACKGROUND"})
        EXPECT_NE(run.out.find(part), std::string::npos) << part << "\n" << run.out;
}

TEST_F(EvaluateCommand, TheSameForAnyNumberOfThreads) {
    make(with_odd_station);
    const auto out = [this](const char* jobs) {
        return builder({"evaluate", recipe_, "--folds", "5", "--format", "json", "--jobs", jobs})
            .out;
    };
    EXPECT_EQ(out("1"), out("3"));
}

TEST_F(EvaluateCommand, RefusesWhatItCannotScore) {
    make(plain_station);
    EXPECT_EQ(status({"--folds", "1"}, "--folds"), 2);
    EXPECT_EQ(status({"--format", "xml"}, "--format"), 2);
    EXPECT_EQ(status({"--folds", "3", "--leave-out-country", "Merrow"}, "--folds"), 2);
    EXPECT_EQ(status({"--leave-out-country", "Merow"}, "Merrow"), 1);
    EXPECT_EQ(status({"--holdout", region_.path("none.csv")}, "none.csv"), 5);
    write_text(region_.path("empty.csv"), "lat,lon,month\n45,11,1\n");
    EXPECT_EQ(status({"--holdout", region_.path("empty.csv")}, "empty.csv"), 3);
    write_text(region_.path("no_lat.csv"), "lon,month,tmax_c\n11,1,20\n");
    EXPECT_EQ(status({"--holdout", region_.path("no_lat.csv")}, "lat"), 3);
    region_.rest.clear();
    recipe_ = region_.write_recipe();
    EXPECT_EQ(status({}, "[[stations]]"), 3);
}

}  // namespace
}  // namespace thirstline
