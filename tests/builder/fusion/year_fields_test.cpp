// Stations without years borrow those of their neighbours: on a network whose truth is known, the
// dry year at stations that were left out, from their own normals and the others' slopes.
#include "builder/fusion/year_fields.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <vector>

#include "builder/records/year_slopes.hpp"
#include "tests/support/invented_years.hpp"

namespace thirstline {
namespace {

using test::InventedClimate;
using test::InventedYears;

constexpr int kStationsOfYears = 80;
constexpr std::size_t kYearsOfStation = 30;

struct NetworkStation {
    SlopesAtStation slopes;
    InventedClimate climate;
    Monthly<double> eto_mm{};  ///< means of its record
    Monthly<double> rain_mm{};
};

/// From dry summers in the south-west to rain in all months in the north-east, 4° across; at each
/// station thirty years of its own.
std::vector<NetworkStation> network_of_years() {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> place(0.0, 1.0);
    std::vector<NetworkStation> stations;
    for (int s = 0; s < kStationsOfYears; ++s) {
        const double north = place(random);
        const double east = place(random);
        NetworkStation station;
        station.climate = {"",
                           3.6 - 1.2 * north,
                           2.4 - 0.6 * north,
                           40.0 + 40.0 * east,
                           0.9 - 0.8 * north,
                           0.9 - 0.3 * east};
        InventedYears years(station.climate, 500U + static_cast<unsigned>(s));
        std::vector<double> eto;
        std::vector<double> rain;
        for (std::size_t y = 0; y < kYearsOfStation; ++y) {
            Monthly<double> eto_of_year{};
            Monthly<double> rain_of_year{};
            years.next(eto_of_year, rain_of_year);
            for (std::size_t m = 0; m < kMonths; ++m) {
                eto.push_back(eto_of_year[m]);
                rain.push_back(rain_of_year[m]);
                station.eto_mm[m] += eto_of_year[m] / kYearsOfStation;
                station.rain_mm[m] += rain_of_year[m] / kYearsOfStation;
            }
        }
        const auto found = years_of_need(eto, rain, false, 10);
        station.slopes.place = static_cast<std::size_t>(s);
        station.slopes.site.position = {44.0 + 4.0 * north, 8.0 + 4.0 * east};
        if (found) station.slopes.slopes = found->slopes;
        station.slopes.years = found ? found->years : 0;
        stations.push_back(station);
    }
    return stations;
}

double need_of_share_mm(const NetworkStation& station, const YearSlopes& slopes, double share) {
    Monthly<double> eto{};
    Monthly<double> rain{};
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthFactors factors = month_factors(slopes, m, deviate_of_share(share));
        eto[m] = station.eto_mm[m] * factors.eto;
        rain[m] = station.rain_mm[m] * factors.rain;
    }
    return lawn_need_of_year_mm(eto, rain);
}

TEST(YearFieldsOfANetwork, GiveTheDryYearOfStationsLeftOut) {
    const std::vector<NetworkStation> stations = network_of_years();
    std::vector<SlopesAtStation> slopes;
    for (const NetworkStation& station : stations) {
        ASSERT_GT(station.slopes.years, 0);
        slopes.push_back(station.slopes);
    }
    const YearFields fields(slopes);
    constexpr int kOtherYears = 200;
    double above_dry = 0.0;
    double above_wet = 0.0;
    double above_normals = 0.0;
    double within_error = 0.0;
    for (std::size_t s = 0; s < stations.size(); ++s) {
        const NetworkStation& station = stations[s];
        std::vector<bool> is_out(stations.size(), false);
        is_out[s] = true;
        const auto found = fields.at(station.slopes.site, station.eto_mm, station.rain_mm,
                                     LeftOut{station.slopes.site.position, 0.0, &is_out});
        ASSERT_TRUE(found);
        const double dry = need_of_share_mm(station, found->slopes, 0.8);
        const double wet = need_of_share_mm(station, found->slopes, 0.2);
        const double normals = lawn_need_of_year_mm(station.eto_mm, station.rain_mm);
        const double own_dry = need_of_share_mm(station, station.slopes.slopes, 0.8);
        within_error +=
            std::abs((dry - own_dry) / (own_dry - normals)) < 1.645 * found->error_share;
        InventedYears others(station.climate, 9000U + static_cast<unsigned>(s));
        for (int other = 0; other < kOtherYears; ++other) {
            Monthly<double> eto{};
            Monthly<double> rain{};
            others.next(eto, rain);
            const double need = lawn_need_of_year_mm(eto, rain);
            above_dry += need > dry;
            above_wet += need > wet;
            above_normals += need > normals;
        }
    }
    constexpr double kPercent = 100.0 / (kStationsOfYears * kOtherYears);
    std::printf(
        "left-out stations: %.1f%% of other years exceed the dry year, %.1f%% the wet year, "
        "%.1f%% the normals; error of the dry year's difference within 1.645 standard errors "
        "at %.0f%%\n",
        above_dry * kPercent, above_wet * kPercent, above_normals * kPercent,
        100.0 * within_error / kStationsOfYears);
    EXPECT_GT(above_dry * kPercent, 18.0);
    EXPECT_LT(above_dry * kPercent, 22.0);
    EXPECT_GT(above_wet * kPercent, 78.0);
    EXPECT_LT(above_wet * kPercent, 82.0);
    EXPECT_GT(within_error, 0.8 * kStationsOfYears);
    EXPECT_LT(within_error, 0.97 * kStationsOfYears);
}

TEST(YearFieldsOfANetwork, AreThoseOfTheOnlyStationEverywhere) {
    const std::vector<NetworkStation> stations = network_of_years();
    const YearFields fields({stations[0].slopes});
    ResidualSite far;
    far.position = {30.0, 30.0};
    const auto found = fields.at(far, stations[0].eto_mm, stations[0].rain_mm);
    ASSERT_TRUE(found);
    for (std::size_t m = 0; m < kMonths; ++m)
        EXPECT_NEAR(found->slopes.rain_share[m], stations[0].slopes.slopes.rain_share[m], 1e-9);
    EXPECT_GT(found->error_share, 0.0);
    EXPECT_FALSE(YearFields().at(far, stations[0].eto_mm, stations[0].rain_mm).has_value());
    EXPECT_FALSE(YearFields(std::vector<SlopesAtStation>{}).has_stations());
}

}  // namespace
}  // namespace thirstline
