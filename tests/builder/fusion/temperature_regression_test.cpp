#include "builder/fusion/temperature_regression.hpp"

#include <gtest/gtest.h>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::scattered_stations;
using test::SeededRandom;

double slope_of_mean(std::size_t month) {
    return -0.012 - 0.001 * static_cast<double>(month);
}
double slope_of_range(std::size_t month) {
    return 0.02 - 0.002 * static_cast<double>(month);
}

/// Residuals that go with the temperatures' by known slopes, besides something that changes
/// smoothly over the region, and noise.
std::vector<ResidualTriple> triples(std::size_t count, double noise) {
    SeededRandom random(31);
    std::vector<ResidualTriple> stations;
    for (const auto& station : scattered_stations(count, {}, random)) {
        ResidualTriple triple;
        triple.position = station.site.position;
        for (std::size_t month = 0; month < kMonths; ++month) {
            triple.mean_temperature[month] = 1.5 * random.normal();
            triple.temperature_range[month] =
                2.0 * random.normal() + 0.5 * triple.mean_temperature[month];
            const double smooth = 0.001 * (triple.position.lat_deg - 45.0);
            triple.driver[month] = slope_of_mean(month) * triple.mean_temperature[month] +
                                   slope_of_range(month) * triple.temperature_range[month] +
                                   smooth + noise * random.normal();
        }
        stations.push_back(triple);
    }
    return stations;
}

TEST(TemperatureRegression, AreFoundAgainMonthByMonth) {
    const TemperatureSlopes slopes = temperature_slopes(triples(400, 0.02));
    // The noise lets a slope err by 0.02 · √(9/8) / (1.5 · √(9/8) · √400) = 0.0007: five of them.
    for (std::size_t month = 0; month < kMonths; ++month) {
        EXPECT_NEAR(slopes.of_mean[month], slope_of_mean(month), 0.0035) << month;
        EXPECT_NEAR(slopes.of_range[month], slope_of_range(month), 0.0035) << month;
    }
}

TEST(TemperatureRegression, AreExactWithoutNoiseAndTrend) {
    std::vector<ResidualTriple> stations = triples(60, 0.0);
    for (ResidualTriple& station : stations)
        for (double& driver : station.driver) driver -= 0.001 * (station.position.lat_deg - 45.0);
    const TemperatureSlopes slopes = temperature_slopes(stations);
    for (std::size_t month = 0; month < kMonths; ++month) {
        EXPECT_NEAR(slopes.of_mean[month], slope_of_mean(month), 1e-12);
        EXPECT_NEAR(slopes.of_range[month], slope_of_range(month), 1e-12);
    }
}

TEST(TemperatureRegression, AreZeroWithFewStations) {
    const TemperatureSlopes few = temperature_slopes(triples(39, 0.0));
    EXPECT_EQ(few.of_mean, test::every_month(0.0));
    EXPECT_EQ(few.of_range, test::every_month(0.0));
    EXPECT_NE(temperature_slopes(triples(40, 0.0)).of_mean[0], 0.0);
}

/// Mean and range that cannot be told apart, or do not vary at all.
TEST(TemperatureRegression, IsZeroWithoutInformation) {
    std::vector<ResidualTriple> stations = triples(60, 0.01);
    for (ResidualTriple& station : stations) {
        station.temperature_range[3] = 2.0 * station.mean_temperature[3];
        station.mean_temperature[4] = 0.0;
    }
    const TemperatureSlopes slopes = temperature_slopes(stations);
    EXPECT_EQ(slopes.of_mean[3], 0.0);
    EXPECT_EQ(slopes.of_range[3], 0.0);
    EXPECT_EQ(slopes.of_mean[4], 0.0);
    EXPECT_NE(slopes.of_mean[5], 0.0);
}

}  // namespace
}  // namespace thirstline
