// Stations that no neighbour bears out, and those that only look so.
#include "builder/fusion/neighbour_check.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::draw_residuals;
using test::every_month;
using test::scattered_stations;
using test::SeededRandom;

constexpr double kThreshold = 6.0;

CovarianceModel model_of_neighbours() {
    CovarianceModel model;
    model.short_range_km = 300.0;
    return model;
}

std::vector<ResidualStation> sound_stations(std::size_t count, std::uint64_t seed = 51) {
    SeededRandom random(seed);
    std::vector<ResidualStation> stations = scattered_stations(count, {}, random);
    draw_residuals(stations, model_of_neighbours(), random);
    return stations;
}

TEST(NeighbourCheck, FindsNothingInSoundStations) {
    for (const std::uint64_t seed : {1U, 2U, 3U, 4U, 5U, 6U}) {
        EXPECT_TRUE(neighbour_suspects(sound_stations(60, seed), model_of_neighbours(), kThreshold)
                        .empty());
    }
}

TEST(NeighbourCheck, FindsTheAbsurdStationAndNotItsNeighbours) {
    std::vector<ResidualStation> stations = sound_stations(60);
    for (double& residual : stations[23].residual) residual += 15.0;
    const auto suspects = neighbour_suspects(stations, model_of_neighbours(), kThreshold);
    ASSERT_EQ(suspects.size(), 1U);
    EXPECT_EQ(suspects[0].station, 23U);
    EXPECT_NEAR(suspects[0].yearly_misfit, 15.0, 2.0);
}

/// The second is only seen once the first is gone; indices are those of the stations given.
TEST(NeighbourCheck, FindsSeveral) {
    std::vector<ResidualStation> stations = sound_stations(90);
    stations[40].site = stations[41].site;
    stations[41].site.position.lat_deg += 0.3;
    for (double& residual : stations[40].residual) residual += 40.0;
    for (double& residual : stations[41].residual) residual -= 20.0;
    for (double& residual : stations[5].residual) residual -= 15.0;
    std::vector<std::size_t> found;
    for (const auto& suspect : neighbour_suspects(stations, model_of_neighbours(), kThreshold))
        found.push_back(suspect.station);
    std::sort(found.begin(), found.end());
    EXPECT_EQ(found, (std::vector<std::size_t>{5, 40, 41}));
}

/// The year as a whole is right.
TEST(NeighbourCheck, FindsOneAbsurdMonth) {
    std::vector<ResidualStation> stations = sound_stations(60);
    stations[11].residual[7] += 120.0;
    for (double& residual : stations[11].residual) residual -= 120.0 / kMonths;
    const auto suspects = neighbour_suspects(stations, model_of_neighbours(), kThreshold);
    ASSERT_EQ(suspects.size(), 1U);
    EXPECT_EQ(suspects[0].station, 11U);
    EXPECT_LT(std::abs(suspects[0].yearly_misfit), 1.5);
}

/// A coast, a mountain range: half of the region is eight units off the background.
TEST(NeighbourCheck, ToleratesARealGradient) {
    std::vector<ResidualStation> stations = sound_stations(120);
    for (ResidualStation& station : stations) {
        const double lon = station.site.position.lon_deg;
        for (double& residual : station.residual) residual += 8.0 / (1.0 + std::exp(11.0 - lon));
    }
    EXPECT_TRUE(neighbour_suspects(stations, model_of_neighbours(), kThreshold).empty());
}

/// Where most stations say just what the background says, there is no scale to judge by.
TEST(NeighbourCheck, IsSilentWhereNothingVaries) {
    std::vector<ResidualStation> stations = sound_stations(60);
    for (ResidualStation& station : stations) station.residual = every_month(0.0);
    EXPECT_TRUE(neighbour_suspects(stations, model_of_neighbours(), kThreshold).empty());
    stations[8].residual = every_month(0.001);
    EXPECT_TRUE(neighbour_suspects(stations, model_of_neighbours(), kThreshold).empty());
}

TEST(NeighbourCheck, IsSilentWithFewStations) {
    std::vector<ResidualStation> stations = sound_stations(29);
    for (double& residual : stations[3].residual) residual += 50.0;
    EXPECT_TRUE(neighbour_suspects(stations, model_of_neighbours(), kThreshold).empty());
}

TEST(NeighbourCheck, EndsWhenItIsInterrupted) {
    std::vector<ResidualStation> stations = sound_stations(60);
    for (double& residual : stations[23].residual) residual += 15.0;
    const std::atomic<bool> interrupted{true};
    EXPECT_TRUE(
        neighbour_suspects(stations, model_of_neighbours(), kThreshold, nullptr, &interrupted)
            .empty());
}

}  // namespace
}  // namespace thirstline
