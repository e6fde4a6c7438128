#include "builder/fusion/rain_share.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "builder/fusion/rain_scale.hpp"

namespace thirstline {
namespace {

/// Stations whose rain changes with height by `true_factor` of the share that is estimated.
std::vector<RainToAdjust> stations_of(double true_factor, int count) {
    std::vector<RainToAdjust> stations;
    for (int i = 0; i < count; ++i) {
        RainToAdjust station;
        station.rise_km = (i % 2 == 0 ? 0.4 : -0.6) - 0.002 * i;
        for (std::size_t month = 0; month < kMonths; ++month) {
            station.at_cells_mm[month] = 30.0 + 5.0 * static_cast<double>(month);
            station.share_per_km[month] = 0.1 + 0.01 * (i % 50);
            station.own_mm[month] =
                adjusted_rain_mm(station.at_cells_mm[month],
                                 true_factor * station.share_per_km[month], station.rise_km);
        }
        stations.push_back(station);
    }
    return stations;
}

TEST(RainShare, FindsTheFactorThatLeftOutStationsHave) {
    for (const double factor : {0.0, 0.35, 0.8, 1.1})
        EXPECT_NEAR(fitted_rain_share_factor(stations_of(factor, 80)), factor, 1e-9);
}

TEST(RainShare, TakesTheUsualFactorOfFewStations) {
    EXPECT_EQ(fitted_rain_share_factor(stations_of(0.2, 49)), kUsualRainShareFactor);
    EXPECT_EQ(fitted_rain_share_factor({}), kUsualRainShareFactor);
    EXPECT_NEAR(fitted_rain_share_factor(stations_of(0.2, 50)), 0.2, 1e-9);
}

TEST(RainShare, IsOfTheLogarithmAndBounded) {
    // From 99 to 199 mm over 0.8 km, a millimetre added: ln 2 / 0.8.
    EXPECT_NEAR(rain_share_per_km(199.0, 99.0, 0.8), 0.866434, 1e-6);
    EXPECT_EQ(rain_share_per_km(1e6, 0.0, 0.8), 1.2);
    EXPECT_EQ(rain_share_per_km(0.0, 1e6, 0.8), -1.2);
    EXPECT_TRUE(
        std::isnan(rain_share_per_km(std::numeric_limits<double>::quiet_NaN(), 100.0, 0.8)));
    EXPECT_NEAR(adjusted_rain_mm(100.0, 0.2, 1.0), 122.140276, 1e-6);
    EXPECT_NEAR(adjusted_rain_mm(100.0, 1.2, 1.5), 400.0, 1e-9);
    EXPECT_NEAR(adjusted_rain_mm(100.0, -1.2, 1.5), 25.0, 1e-9);
}

TEST(RainScale, GoesToTheLogarithmAndBack) {
    for (const double root : {0.0, 0.05, 0.5, 1.7, 6.0}) {
        EXPECT_NEAR(rain_root_of_log(rain_log_of_root(root)), root, 1e-7) << root;
    }
    EXPECT_EQ(rain_log_of_root(-0.3), rain_log_of_root(0.0));
    EXPECT_EQ(rain_root_of_log(rain_log_of_root(0.0) - 1.0), 0.0);
    // The slope of the logarithm by the root, by a small step.
    const double slope = (rain_log_of_root(1.501) - rain_log_of_root(1.499)) / 0.002;
    EXPECT_NEAR(rain_log_level(1.5, 0.7), 0.7 * slope, 1e-5);
    EXPECT_EQ(rain_log_level(0.0, 0.7), 0.3);
}

}  // namespace
}  // namespace thirstline
