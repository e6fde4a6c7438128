// Reference ET that stations report themselves, and how far it speaks.
#include "builder/fusion/eto_stations.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::draw_residuals;
using test::every_month;
using test::scattered_stations;
using test::SeededRandom;

constexpr double kSoftening = 0.1;  // as eto_stations.hpp says
const Monthly<double> kComputed{0.0, 0.4, 1.2, 2.4, 3.6, 4.6, 5.0, 4.2, 2.8, 1.4, 0.5, 0.1};

/// Reports that differ from kComputed by a random field of about a tenth.
std::vector<EtoAtStation> sample_stations(std::size_t count, std::uint64_t seed,
                                          double on_the_whole = 0.0) {
    CovarianceModel model;
    model.short_range_km = 400.0;
    model.vertical_range_km = 1.5;
    model.relief_range = 1e9;
    model.nugget = 1.0;
    SeededRandom random(seed);
    std::vector<ResidualStation> drawn = scattered_stations(count, {}, random);
    draw_residuals(drawn, model, random);
    std::vector<EtoAtStation> stations;
    for (std::size_t i = 0; i < count; ++i) {
        EtoAtStation station{i, drawn[i].site, {}, kComputed, 1.0};
        for (std::size_t month = 0; month < kMonths; ++month) {
            const double ratio = std::exp(on_the_whole + 0.05 * drawn[i].residual[month]);
            station.reported_mm_per_day[month] =
                std::max((kComputed[month] + kSoftening) * ratio - kSoftening, 0.0);
        }
        stations.push_back(station);
    }
    return stations;
}

TEST(EtoStations, WithoutAnyNothingIsMoved) {
    const EtoStations none;
    EXPECT_FALSE(none.has_stations());
    const auto moved = none.moved({{45.0, 10.0}, 300.0, 0.0, 0.0}, kComputed, every_month(0.3));
    EXPECT_EQ(moved.eto_mm_per_day, kComputed);
    EXPECT_EQ(moved.se_mm_per_day, every_month(0.3));
}

TEST(EtoStations, MoveTheComputedByTheirShare) {
    const EtoStations stations(sample_stations(100, 5, std::log(1.2)), {});
    const auto moved =
        stations.moved({{45.0, 11.0}, 900.0, 0.0, 100.0}, kComputed, every_month(0.5));
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double ratio =
            (moved.eto_mm_per_day[month] + kSoftening) / (kComputed[month] + kSoftening);
        EXPECT_NEAR(ratio, 1.2, 0.1) << month;
        EXPECT_LT(moved.se_mm_per_day[month], 0.6);
        EXPECT_GT(moved.se_mm_per_day[month], 0.0);
    }
}

TEST(EtoStations, AYearWithoutWaterStaysOne) {
    std::vector<EtoAtStation> dark = sample_stations(60, 9);
    for (EtoAtStation& station : dark)
        station.reported_mm_per_day = station.computed_mm_per_day = every_month(0.0);
    const auto moved =
        EtoStations(dark, {}).moved(dark.front().site, every_month(0.0), every_month(0.2));
    for (const double eto : moved.eto_mm_per_day) EXPECT_NEAR(eto, 0.0, 1e-12);
}

TEST(EtoStations, FadeToTheDriversFarAway) {
    const EtoStations stations(sample_stations(100, 5, std::log(1.3)), {});
    const auto far = stations.moved({{-30.0, 140.0}, 300.0, 0.0, 0.0}, kComputed, every_month(0.4));
    for (std::size_t month = 0; month < kMonths; ++month) {
        EXPECT_NEAR(far.eto_mm_per_day[month], kComputed[month], 1e-9);
        EXPECT_NEAR(far.se_mm_per_day[month], 0.4, 1e-9);
    }
    EXPECT_LT(far.fading, 1e-9);
}

TEST(EtoStations, IgnoresStationsThatAreLeftOut) {
    std::vector<EtoAtStation> with = sample_stations(40, 21);
    with[7].reported_mm_per_day = with[7].computed_mm_per_day;
    for (double& eto : with[7].reported_mm_per_day) eto *= 1.1;
    std::vector<EtoAtStation> without = with;
    without.erase(without.begin() + 7);
    const EtoStations all(with, {});
    std::vector<bool> mask(with.size(), false);
    mask[7] = true;
    const ResidualSite site = with[7].site;
    const auto asked =
        all.moved(site, kComputed, every_month(0.4), LeftOut{site.position, 0.0, &mask});
    const auto expected = EtoStations(without, {}).moved(site, kComputed, every_month(0.4));
    for (std::size_t month = 0; month < kMonths; ++month)
        EXPECT_NEAR(asked.eto_mm_per_day[month], expected.eto_mm_per_day[month], 1e-9);
    EXPECT_NE(all.moved(site, kComputed, every_month(0.4)).eto_mm_per_day[6],
              expected.eto_mm_per_day[6]);
}

TEST(EtoStations, ReportsAnImpossibleStationAndDoesNotUseIt) {
    std::vector<EtoAtStation> stations = sample_stations(120, 33);
    for (double& eto : stations[50].reported_mm_per_day) eto *= 25.4;  // inches taken for mm
    std::vector<std::size_t> told;
    double share = 0.0;
    const EtoStations fused(stations, [&](std::size_t place, double yearly_share) {
        told.push_back(place);
        share = yearly_share;
    });
    ASSERT_EQ(told, std::vector<std::size_t>{50});
    EXPECT_GT(share, 5.0);
    const auto moved = fused.moved(stations[50].site, kComputed, every_month(0.4));
    EXPECT_LT(moved.eto_mm_per_day[6], 1.3 * kComputed[6]);
}

TEST(EtoStations, NinetyPercentAreWithinTheInterval) {
    const std::vector<EtoAtStation> all = sample_stations(400, 77);
    const std::vector<EtoAtStation> used(all.begin(), all.begin() + 250);
    const EtoStations stations(used, {});
    // Such as drivers leave: a tenth.
    Monthly<double> of_drivers{};
    for (std::size_t month = 0; month < kMonths; ++month)
        of_drivers[month] = 0.1 * (kComputed[month] + kSoftening);
    int within = 0;
    int months = 0;
    for (std::size_t i = 250; i < all.size(); ++i) {
        const auto moved = stations.moved(all[i].site, kComputed, of_drivers);
        for (std::size_t month = 1; month < kMonths; ++month) {
            const double error = all[i].reported_mm_per_day[month] - moved.eto_mm_per_day[month];
            within += std::abs(error) <= 1.645 * moved.se_mm_per_day[month] ? 1 : 0;
            ++months;
        }
    }
    const double share = static_cast<double>(within) / months;
    EXPECT_GT(share, 0.86);
    EXPECT_LT(share, 0.94);
}

}  // namespace
}  // namespace thirstline
