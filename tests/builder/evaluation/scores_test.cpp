// Scores against sums done by hand.
#include "builder/evaluation/scores.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "builder/evaluation/evaluation.hpp"

namespace thirstline {
namespace {

/// A station in the region of Europe with one month of rain.
ScoredStation station(double observed, double fused, double se, double km) {
    ScoredStation s;
    s.position = {48.0, 11.0};
    s.country = "Merrow";
    of(s.observed, ScoredVariable::rain)[6] = observed;
    of(s.estimates[0], ScoredVariable::rain)[6] = fused;
    of(s.estimates[1], ScoredVariable::rain)[6] = observed + 8.0;
    of(s.estimates[2], ScoredVariable::rain)[6] = observed - 1.0;
    of(s.standard_error, ScoredVariable::rain)[6] = se;
    s.nearest_km.fill(km);
    return s;
}

const Score& score(const std::vector<Score>& scores, Estimator estimator,
                   DistanceClass distance = DistanceClass::all, int month = 0,
                   Region region = Region::world) {
    const Score* found = score_of(scores, ScoredVariable::rain, region, month, distance, estimator);
    static const Score kNone{};
    EXPECT_NE(found, nullptr);
    return found == nullptr ? kNone : *found;
}

TEST(Scores, MatchesSumsDoneByHand) {
    // 90 %: 50 ± 16.45 holds 60; 20 ± 3.29 does not hold 30, by 6.71. 50 %: 50 ± 6.74 does not
    // hold.
    const auto scores = scores_of({station(60, 50, 10, 30), station(30, 20, 2, 300)}, {});
    const Score& fused = score(scores, Estimator::fused);
    EXPECT_EQ(fused.n, 2);
    EXPECT_EQ(fused.misses, 0);
    EXPECT_DOUBLE_EQ(fused.mae, 10.0);
    EXPECT_DOUBLE_EQ(fused.bias, -10.0);
    EXPECT_DOUBLE_EQ(fused.observed_mean, 45.0);
    EXPECT_DOUBLE_EQ(fused.coverage_90, 0.5);
    EXPECT_DOUBLE_EQ(fused.coverage_50, 0.0);
    EXPECT_NEAR(fused.mean_width, (2 * 16.45 + 2 * 3.29) / 2, 1e-9);
    // Gneiting & Raftery 2007, eq. 43: width + 2/α · (x − u), α = 0.1.
    EXPECT_NEAR(fused.interval_score, (2 * 16.45 + 2 * 3.29 + 20 * 6.71) / 2, 1e-9);
    EXPECT_DOUBLE_EQ(score(scores, Estimator::fused, DistanceClass::all, 7).mae, 10.0);
    EXPECT_EQ(score_of(scores, ScoredVariable::rain, Region::world, 1, DistanceClass::all,
                       Estimator::fused),
              nullptr);
    EXPECT_EQ(score(scores, Estimator::fused, DistanceClass::all, 0, Region::europe).n, 2);
    EXPECT_EQ(score_of(scores, ScoredVariable::rain, Region::africa, 0, DistanceClass::all,
                       Estimator::fused),
              nullptr);
}

TEST(Scores, AnIntervalOfRainEndsAtZero) {
    const auto scores = scores_of({station(0, 2, 10, 30)}, {});
    EXPECT_NEAR(score(scores, Estimator::fused).mean_width, 2 + 16.45, 1e-9);
    EXPECT_DOUBLE_EQ(score(scores, Estimator::fused).coverage_90, 1.0);
}

TEST(Scores, TheBackgroundsIntervalIsItsOwnConstantOne) {
    const auto scores = scores_of({station(60, 50, 10, 30), station(90, 90, 2, 300)}, {});
    const Score& background = score(scores, Estimator::background);
    EXPECT_DOUBLE_EQ(background.mae, 8.0);
    EXPECT_NEAR(background.mean_width, 16.0, 1e-9);
    EXPECT_TRUE(std::isnan(score(scores, Estimator::nearest).coverage_90));
    EXPECT_DOUBLE_EQ(score(scores, Estimator::nearest).mae, 1.0);
}

TEST(Scores, CountsUnansweredMonthsAsMisses) {
    const auto scores =
        scores_of({station(60, 50, 10, 30), station(30, std::nan(""), std::nan(""), 30)}, {});
    EXPECT_EQ(score(scores, Estimator::fused).n, 1);
    EXPECT_EQ(score(scores, Estimator::fused).misses, 1);
    EXPECT_DOUBLE_EQ(score(scores, Estimator::fused).mae, 10.0);
    EXPECT_EQ(score(scores, Estimator::nearest).n, 1);
}

TEST(Scores, ClassesAreWeightedAsTheLatticesPoints) {
    LatticeClasses lattice{};
    PointsByClass& points = lattice[0][static_cast<std::size_t>(ScoredVariable::rain)];
    points[static_cast<std::size_t>(DistanceClass::to_50_km)] = 1;
    points[static_cast<std::size_t>(DistanceClass::beyond_250_km)] = 3;
    points[static_cast<std::size_t>(DistanceClass::to_100_km)] = 50;  // no station there
    const auto scores = scores_of({station(60, 50, 10, 30), station(60, 52, 1, 300),
                                   station(60, 50, 10, 40), station(60, 54, 1, 251)},
                                  lattice);
    EXPECT_EQ(score(scores, Estimator::fused, DistanceClass::to_50_km).n, 2);
    EXPECT_DOUBLE_EQ(score(scores, Estimator::fused, DistanceClass::beyond_250_km).mae, 7.0);
    const Score& weighted = score(scores, Estimator::fused, DistanceClass::as_lattice);
    EXPECT_DOUBLE_EQ(weighted.mae, 0.25 * 10.0 + 0.75 * 7.0);
    EXPECT_DOUBLE_EQ(weighted.coverage_90, 0.25);
}

ScoredStation risen(double rise_m, double observed, double told, double not_told) {
    ScoredStation s;
    s.rise_m = rise_m;
    of(s.observed, ScoredVariable::tmax)[3] = observed;
    of(s.estimates[0], ScoredVariable::tmax)[3] = told;
    of(s.without_elevation, ScoredVariable::tmax)[3] = not_told;
    return s;
}

TEST(ElevationScores, CompareBothAnswersByHowFarTheStationIsFromTheLattice) {
    // Nothing but what was answered both ways counts: the last station is not in.
    const auto scores =
        elevation_scores_of({risen(-900.0, 20.0, 21.0, 14.0), risen(-801.0, 10.0, 8.0, 6.0),
                             risen(300.0, 5.0, 5.5, 5.0), risen(-850.0, 5.0, kUnknown, 5.0)});
    ASSERT_EQ(scores.size(), 2U);
    EXPECT_EQ(scores[0].rise, RiseClass::below_800);
    EXPECT_EQ(scores[0].n, 2);
    EXPECT_DOUBLE_EQ(scores[0].observed_mean, 15.0);
    EXPECT_DOUBLE_EQ(scores[0].mae_with, 1.5);
    EXPECT_DOUBLE_EQ(scores[0].mae_without, 5.0);
    EXPECT_DOUBLE_EQ(scores[0].bias_with, -0.5);
    EXPECT_DOUBLE_EQ(scores[0].bias_without, -5.0);
    EXPECT_EQ(scores[1].rise, RiseClass::level);
    EXPECT_DOUBLE_EQ(scores[1].mae_with, 0.5);
    EXPECT_DOUBLE_EQ(scores[1].mae_without, 0.0);
    EXPECT_EQ(rise_class_of(300.1), RiseClass::above_300);
    EXPECT_EQ(rise_class_of(-300.1), RiseClass::to_300);
    EXPECT_EQ(rise_class_of(800.1), RiseClass::beyond_800);
}

TEST(ElevationScores, CountTheIntervalsThatHold) {
    std::vector<ScoredStation> stations;
    for (const double error : {5.0, 20.0}) {
        ScoredStation s;
        s.rise_m = 400.0;
        of(s.observed, ScoredVariable::rain)[3] = 50.0;
        of(s.estimates[0], ScoredVariable::rain)[3] = 50.0 + error;
        of(s.without_elevation, ScoredVariable::rain)[3] = 50.0;
        of(s.standard_error, ScoredVariable::rain)[3] = 10.0;  // 16.45 either way
        stations.push_back(s);
    }
    const auto scores = elevation_scores_of(stations);
    ASSERT_EQ(scores.size(), 1U);
    EXPECT_DOUBLE_EQ(scores[0].coverage_90, 0.5);
}

/// Rain of 100 mm a month, answered with a factor.
ScoredStation rain_station(const char* name, LatLon at, double elevation_m, double factor) {
    ScoredStation s;
    s.name = name;
    s.position = at;
    s.elevation_m = elevation_m;
    s.rise_m = 0.0;
    of(s.observed, ScoredVariable::rain).fill(100.0);
    of(s.estimates[0], ScoredVariable::rain).fill(100.0 * factor);
    return s;
}

TEST(Tails, CountWhatIsOffByTwoAndNameTheWorst) {
    std::vector<ScoredStation> stations;
    for (int i = 0; i < 18; ++i)
        stations.push_back(rain_station("sound", {45.0 + i, 10.0}, 100.0, 1.1));
    stations.push_back(rain_station("thrice", {20.0, 10.0}, 100.0, 3.0));
    stations.push_back(rain_station("third", {21.0, 40.0}, 100.0, 0.3));
    of(stations[0].observed, ScoredVariable::rain)[5] = 9.0;  // too little to be judged
    const auto tails = tail_scores_of(stations);
    ASSERT_EQ(tails.size(), 1U);
    EXPECT_EQ(tails[0].n, 20 * 12 - 1);
    EXPECT_NEAR(tails[0].share_off_by_two, 24.0 / 239.0, 1e-12);
    EXPECT_NEAR(tails[0].error_99, 2.0, 1e-12);
    ASSERT_EQ(tails[0].worst.size(), 20U);
    EXPECT_EQ(tails[0].worst[0].name, "thrice");
    EXPECT_NEAR(tails[0].worst[0].error, 2.0, 1e-12);
    EXPECT_EQ(tails[0].worst[1].name, "third");
    EXPECT_NEAR(tails[0].worst[1].fused, 360.0, 1e-9);
}

TEST(Tails, CompareAdjustedRainWithStationsOfTheSameHeight) {
    // The first is answered with a fifth of what its neighbour of the same height measures; the
    // third has no neighbour of its height.
    const auto adjusted = adjusted_rain_of({rain_station("valley", {45.0, 10.0}, 500.0, 0.2),
                                            rain_station("village", {45.3, 10.0}, 600.0, 1.0),
                                            rain_station("summit", {45.2, 10.0}, 2500.0, 9.0)});
    EXPECT_EQ(adjusted.judged, 2);
    EXPECT_EQ(adjusted.beyond, std::vector<std::size_t>{0});
}

TEST(Folds, AreOfEqualSizeAndMixed) {
    const std::vector<int> folds = folds_of(103, 10);
    for (int fold = 0; fold < 10; ++fold) {
        const auto size = std::count(folds.begin(), folds.end(), fold);
        EXPECT_TRUE(size == 10 || size == 11) << size;
    }
    EXPECT_EQ(folds, folds_of(103, 10));
    // Neighbours in the table do not share a fold more often than by chance: 10 of 102.
    int same = 0;
    for (std::size_t i = 1; i < folds.size(); ++i) same += folds[i] == folds[i - 1] ? 1 : 0;
    EXPECT_LT(same, 25);
}

TEST(ScoredVariables, SharesAndPeakMonthsFollowFromTheYear) {
    ScoredYear year = unknown_scored_year();
    for (std::size_t month = 0; month < kMonths; ++month)
        of(year, ScoredVariable::eto)[month] = 1.0 + static_cast<double>(month % 7);
    add_derived(year, 3, -1);
    EXPECT_DOUBLE_EQ(of(year, ScoredVariable::share_of_peak)[6], 100.0);
    EXPECT_DOUBLE_EQ(of(year, ScoredVariable::share_of_peak)[0], 100.0 / 7.0);
    EXPECT_DOUBLE_EQ(of(year, ScoredVariable::eto_in_peak_month)[3], 4.0);
    EXPECT_TRUE(std::isnan(of(year, ScoredVariable::eto_in_peak_month)[6]));
    EXPECT_TRUE(std::isnan(of(year, ScoredVariable::eto_temperature_only_in_peak_month)[3]));
    EXPECT_EQ(peak_month(of(year, ScoredVariable::eto)), 6);
    EXPECT_EQ(peak_month(kUnknownYear), -1);
}

}  // namespace
}  // namespace thirstline
