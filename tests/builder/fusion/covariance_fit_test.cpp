// A covariance found again in fields that were drawn from it.
#include "builder/fusion/covariance_fit.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::draw_residuals;
using test::scattered_stations;
using test::SeededRandom;

CovarianceModel true_model() {
    CovarianceModel model;
    model.short_range_km = 150.0;
    model.vertical_range_km = 1.0;
    model.long_sill = 0.2;
    model.slope_sill = 2.0;
    model.nugget = 0.2;
    model.fading_km = 1e9;
    return model;
}

std::vector<ResidualStation> drawn_stations(std::size_t count, std::uint64_t seed) {
    SeededRandom random(seed);
    std::vector<ResidualStation> stations = scattered_stations(count, {}, random);
    draw_residuals(stations, true_model(), random);
    return stations;
}

/// Mean absolute error of left-out estimates at all stations.
double left_out_error(const std::vector<ResidualStation>& stations, const CovarianceModel& model) {
    const ResidualField field(stations, model, false);
    double sum = 0.0;
    for (const ResidualStation& station : stations) {
        const auto estimate = field.at(station.site, LeftOut{station.site.position, 15.0, nullptr});
        for (std::size_t month = 0; month < kMonths; ++month)
            sum += std::abs(station.residual[month] - estimate->correction[month]);
    }
    return sum / static_cast<double>(stations.size() * kMonths);
}

TEST(CovarianceFit, FindsTheModelBehindAField) {
    const std::vector<ResidualStation> stations = drawn_stations(400, 21);
    CovarianceModel start = true_model();
    start.short_range_km = 450.0;
    start.vertical_range_km = 4.0;
    start.nugget = 0.9;
    start.slope_sill = 0.3;
    const CovarianceModel fitted = fitted_covariance(stations, start);
    // The error hardly changes within such factors of a parameter: more cannot be told from it.
    EXPECT_GT(fitted.short_range_km, 150.0 / 3.0);
    EXPECT_LT(fitted.short_range_km, 150.0 * 3.0);
    EXPECT_GT(fitted.vertical_range_km, 1.0 / 3.0);
    EXPECT_LT(fitted.vertical_range_km, 1.0 * 3.0);
    EXPECT_GT(fitted.nugget, 0.2 / 3.0);
    EXPECT_LT(fitted.nugget, 0.2 * 3.0);
    EXPECT_GT(fitted.slope_sill, 2.0 / 4.0);
    EXPECT_LT(fitted.slope_sill, 2.0 * 4.0);

    // On another draw too, on which it was not fitted: as good as the truth within 2 %.
    const std::vector<ResidualStation> others = drawn_stations(400, 22);
    EXPECT_LT(left_out_error(others, fitted), 0.97 * left_out_error(others, start));
    EXPECT_LT(left_out_error(others, fitted), 1.02 * left_out_error(others, true_model()));
}

TEST(CovarianceFit, LeavesAloneWhatIsNotFitted) {
    CovarianceModel start = true_model();
    start.relief_range = 2.6;
    start.fading_km = 180.0;
    start.fading_floor = 0.1;
    start.relief_power = 0.5;
    start.faded_part_is_error = true;
    const CovarianceModel fitted = fitted_covariance(drawn_stations(200, 23), start);
    EXPECT_EQ(fitted.relief_range, start.relief_range);
    EXPECT_EQ(fitted.fading_km, start.fading_km);
    EXPECT_EQ(fitted.fading_floor, start.fading_floor);
    EXPECT_EQ(fitted.relief_power, start.relief_power);
    EXPECT_EQ(fitted.faded_part_is_error, start.faded_part_is_error);
    EXPECT_NE(fitted.nugget, start.nugget);
}

TEST(CovarianceFit, IsTheSameEveryTime) {
    const std::vector<ResidualStation> stations = drawn_stations(200, 24);
    const CovarianceModel a = fitted_covariance(stations, true_model());
    const CovarianceModel b = fitted_covariance(stations, true_model());
    EXPECT_EQ(a.short_range_km, b.short_range_km);
    EXPECT_EQ(a.vertical_range_km, b.vertical_range_km);
    EXPECT_EQ(a.long_sill, b.long_sill);
    EXPECT_EQ(a.slope_sill, b.slope_sill);
    EXPECT_EQ(a.nugget, b.nugget);
}

TEST(CovarianceFit, TrustsTheStartWithFewStations) {
    const CovarianceModel start = true_model();
    const CovarianceModel few = fitted_covariance(drawn_stations(149, 25), start);
    EXPECT_EQ(few.short_range_km, start.short_range_km);
    EXPECT_EQ(few.nugget, start.nugget);
    const CovarianceModel enough = fitted_covariance(drawn_stations(150, 25), start);
    EXPECT_NE(enough.nugget, start.nugget);
}

TEST(CovarianceFit, DoesNotStretchTheRangeBeyondThreeTimesTheStart) {
    CovarianceModel start = true_model();
    start.short_range_km = 5.0;
    const CovarianceModel fitted = fitted_covariance(drawn_stations(200, 26), start);
    EXPECT_LE(fitted.short_range_km, 15.0 * (1.0 + 1e-12));
}

TEST(CovarianceFit, EndsWithTheBestUntilThenWhenItIsInterrupted) {
    const std::vector<ResidualStation> stations = drawn_stations(400, 21);
    CovarianceModel start = true_model();
    start.short_range_km = 450.0;
    const std::atomic<bool> interrupted{true};
    const CovarianceModel early = fitted_covariance(stations, start, &interrupted);
    EXPECT_GE(early.short_range_km, 400.0);
    EXPECT_LT(fitted_covariance(stations, start).short_range_km, 400.0);
}

}  // namespace
}  // namespace thirstline
