// Stations and background put together.
#include "builder/fusion/fusion.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/air.hpp"
#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::every_month;
using test::kAllOfGrids;
using test::mild_climate;
using test::own_from_drivers;
using test::place_like_its_grids;
using test::scattered_places;
using test::SeededRandom;
using test::shift_own;

constexpr ReferenceSurface kShort = ReferenceSurface::short_reference;
constexpr double kReachKm = 50.0;
constexpr LatLon kMiddle{45.0, 11.0};
constexpr LatLon kFar{-35.0, -120.0};

ResidualSite site_on_the_plain(LatLon position) {
    return {position, 300.0, 0.0, 0.0};
}

FusedPoint fused_at(const Fusion& fusion, LatLon position, const PointClimate& background,
                    const std::optional<LeftOut>& left_out = std::nullopt) {
    return fusion.at(background, site_on_the_plain(position), monthly_sun(position.lat_deg),
                     left_out);
}
FusedPoint fused_at(const Fusion& fusion, LatLon position) {
    return fused_at(fusion, position, mild_climate(position, 300.0));
}

Fusion fusion_of(std::vector<StationPlace> places,
                 const std::array<bool, kDrivers>& has_grid = kAllOfGrids,
                 const NeighbourRejection& on_rejection = nullptr) {
    return {std::move(places), has_grid, kShort, kReachKm, on_rejection};
}

/// Every station is warmer, its days wider, its air drier, windier and wetter than the grids say;
/// each a little differently, so that there is a scale of error.
std::vector<StationPlace> biased_places(std::size_t count = 120, std::uint64_t seed = 61) {
    SeededRandom random(seed);
    std::vector<StationPlace> places = scattered_places(count, {}, random);
    for (StationPlace& place : places) {
        const auto shift = [&](Driver driver, double by, double spread) {
            shift_own(place, driver, by + spread * random.normal());
            for (double& value : of(place.own_drivers, driver)) value += spread * random.normal();
        };
        shift(Driver::mean_temperature, 2.0, 0.4);
        shift(Driver::temperature_range, 1.5, 0.4);
        shift(Driver::humidity, -0.1, 0.02);
        shift(Driver::log_wind, 0.3, 0.05);
        shift(Driver::clearness, 0.05, 0.01);
        shift(Driver::rain_root, 0.4, 0.08);
        own_from_drivers(place);
    }
    return places;
}

TEST(Fusion, PutsABiasedBackgroundRightNearStations) {
    const Fusion fusion = fusion_of(biased_places());
    const FusedPoint point = fused_at(fusion, kMiddle);
    const MonthlySun sun = monthly_sun(kMiddle.lat_deg);
    const DriverYear before = drivers_of(mild_climate(kMiddle, 300.0), sun);
    const DriverYear after = drivers_of(point.climate, sun);
    const auto moved = [&](Driver driver) { return of(after, driver)[6] - of(before, driver)[6]; };
    // Temperature by what all stations say and a little of each; the others by simple kriging
    // towards zero, which is careful: most of what all stations say, never more.
    EXPECT_NEAR(moved(Driver::mean_temperature), 2.0, 0.4);
    EXPECT_NEAR(moved(Driver::temperature_range), 1.5, 0.4);
    EXPECT_NEAR(moved(Driver::humidity), 0.8 * -0.1, 0.03);
    EXPECT_NEAR(moved(Driver::log_wind), 0.8 * 0.3, 0.1);
    EXPECT_NEAR(moved(Driver::clearness), 0.8 * 0.05, 0.015);
    EXPECT_NEAR(moved(Driver::rain_root), 0.8 * 0.4, 0.12);
    EXPECT_TRUE(point.is_of_stations_period);
}

/// With distance the correction of temperature fades to what all stations differ by, because
/// warming has one sign; the weight of "no difference" is that of 100 stations. The others fade to
/// nothing.
TEST(Fusion, FarFromStationsOnlyTheOverallDifferenceOfTemperatureRemains) {
    const std::size_t stations = 120;
    const Fusion fusion = fusion_of(biased_places(stations));
    const FusedPoint point = fused_at(fusion, kFar);
    const MonthlySun sun = monthly_sun(kFar.lat_deg);
    const DriverYear before = drivers_of(mild_climate(kFar, 300.0), sun);
    const DriverYear after = drivers_of(point.climate, sun);
    const double share = static_cast<double>(stations) / (static_cast<double>(stations) + 100.0);
    for (std::size_t month = 0; month < kMonths; ++month) {
        const auto moved = [&](Driver driver) {
            return of(after, driver)[month] - of(before, driver)[month];
        };
        EXPECT_NEAR(moved(Driver::mean_temperature), 2.0 * share, 0.1);
        EXPECT_NEAR(moved(Driver::temperature_range), 1.5 * share, 0.1);
        // A fifth of the stations' differences: what goes with temperature, by a noisy regression.
        EXPECT_NEAR(moved(Driver::humidity), 0.0, 0.02);
        EXPECT_NEAR(moved(Driver::log_wind), 0.0, 0.06);
        EXPECT_NEAR(moved(Driver::clearness), 0.0, 0.01);
    }
    EXPECT_FALSE(point.is_of_stations_period);
}

TEST(Fusion, AFewStationsHardlyMoveTemperatureFarAway) {
    const FusedPoint point = fused_at(fusion_of(biased_places(5)), kFar);
    const PointClimate background = mild_climate(kFar, 300.0);
    for (std::size_t month = 0; month < kMonths; ++month)
        EXPECT_NEAR(point.climate.tmax_c[month], background.tmax_c[month], 0.2);
}

TEST(Fusion, AddsNothingWithoutStations) {
    const Fusion fusion = fusion_of({});
    EXPECT_FALSE(fusion.has_stations());
    const FusedPoint point = fused_at(fusion, kMiddle);
    EXPECT_EQ(point.climate.tmax_c, mild_climate(kMiddle, 300.0).tmax_c);
    EXPECT_EQ(point.climate.rain_mm, mild_climate(kMiddle, 300.0).rain_mm);
    EXPECT_TRUE(std::isnan(of(point.standard_error, Driver::mean_temperature)[0]));
}

/// A dew-point network without thermometers.
TEST(Fusion, UsesHumidityOfAStationWithoutTemperatures) {
    std::vector<StationPlace> places = biased_places();
    const FusedPoint with = fused_at(fusion_of(places), kMiddle);
    for (std::size_t p = 0; p < places.size(); p += 2) {
        of(places[p].own_drivers, Driver::mean_temperature) = kUnknownYear;
        of(places[p].own_drivers, Driver::temperature_range) = kUnknownYear;
    }
    const Fusion half = fusion_of(places);
    EXPECT_EQ(half.estimator(Driver::humidity).places().size(), places.size());
    EXPECT_LT(half.estimator(Driver::mean_temperature).places().size(), places.size());
    const FusedPoint without = fused_at(half, kMiddle);
    const MonthlySun sun = monthly_sun(kMiddle.lat_deg);
    EXPECT_NEAR(of(drivers_of(without.climate, sun), Driver::humidity)[6],
                of(drivers_of(with.climate, sun), Driver::humidity)[6], 0.02);
}

/// Wind that no grid gives: a plane through the stations, near them only.
TEST(Fusion, TakesADriverWithoutGridFromTheTrendWithinReach) {
    SeededRandom random(62);
    std::vector<StationPlace> places = scattered_places(60, {}, random);
    for (StationPlace& place : places) {
        const double log_wind = 0.5 + 0.05 * (place.site.position.lat_deg - 45.0);
        of(place.own_drivers, Driver::log_wind) = every_month(log_wind);
        of(place.grid_drivers, Driver::log_wind) = kUnknownYear;
        place.of_grids.u2_m_per_s = kUnknownYear;
        own_from_drivers(place);
    }
    std::array<bool, kDrivers> has_grid = kAllOfGrids;
    has_grid[static_cast<std::size_t>(Driver::log_wind)] = false;
    LatLon near = places[9].site.position;
    near.lat_deg += 0.2;
    const Fusion fusion = fusion_of(places, has_grid);
    PointClimate background = mild_climate(near, 300.0);
    background.u2_m_per_s = kUnknownYear;
    const FusedPoint point = fused_at(fusion, near, background);
    EXPECT_NEAR(point.climate.u2_m_per_s[6], std::exp(0.5 + 0.05 * (near.lat_deg - 45.0)), 0.02);
    // 51 km and more from every station: reach_km is 50.
    const LatLon away{39.3, 11.0};
    background.position = away;
    const FusedPoint beyond = fused_at(fusion, away, background);
    EXPECT_TRUE(std::isnan(beyond.climate.u2_m_per_s[6]));
    EXPECT_TRUE(std::isnan(of(beyond.standard_error, Driver::log_wind)[6]));
    EXPECT_FALSE(std::isnan(of(beyond.standard_error, Driver::mean_temperature)[6]));
}

/// Colder air holds less: where stations tell the mean temperature only, the range stays, and the
/// background's humidity keeps its share of saturation.
TEST(Fusion, KeepsRelativeHumidityWhereStationsHaveOnlyTemperature) {
    for (const bool has_dew_point : {false, true}) {
        SeededRandom random(63);
        std::vector<StationPlace> places = scattered_places(60, {}, random);
        for (StationPlace& place : places) {
            shift_own(place, Driver::mean_temperature, -8.0 + 0.2 * random.normal());
            for (const Driver driver :
                 {Driver::temperature_range, Driver::humidity, Driver::log_wind, Driver::clearness})
                of(place.own_drivers, driver) = kUnknownYear;
        }
        const Fusion fusion = fusion_of(places);
        PointClimate background = mild_climate(kMiddle, 300.0);
        if (has_dew_point) {
            for (std::size_t month = 0; month < kMonths; ++month)
                background.dew_point_c[month] = dew_point_c(background.vapour_pressure_kpa[month]);
            background.vapour_pressure_kpa = kUnknownYear;
        }
        const FusedPoint point = fused_at(fusion, kMiddle, background);
        const MonthlySun sun = monthly_sun(kMiddle.lat_deg);
        ASSERT_LT(point.climate.tmax_c[6], background.tmax_c[6] - 4.0);
        for (std::size_t month = 0; month < kMonths; ++month) {
            EXPECT_NEAR(of(drivers_of(point.climate, sun), Driver::humidity)[month],
                        of(drivers_of(background, sun), Driver::humidity)[month], 1e-9);
        }
        EXPECT_EQ(std::isnan(point.climate.vapour_pressure_kpa[0]), has_dew_point);
    }
}

/// The ladder goes on where a point's grids lack what the stations' have.
TEST(Fusion, ToleratesGridsWithoutADriverOrAMonth) {
    const Fusion fusion = fusion_of(biased_places());
    PointClimate background = mild_climate(kMiddle, 300.0);
    background.u2_m_per_s = kUnknownYear;
    background.tmax_c[4] = kUnknown;
    background.rain_mm[5] = kUnknown;
    const FusedPoint point = fused_at(fusion, kMiddle, background);
    EXPECT_TRUE(std::isnan(point.climate.u2_m_per_s[0]));
    EXPECT_TRUE(std::isnan(point.climate.tmax_c[4]));
    EXPECT_TRUE(std::isnan(point.climate.rain_mm[5]));
    EXPECT_TRUE(std::isnan(point.rain_se_mm[5]));
    const FusedPoint whole = fused_at(fusion, kMiddle);
    for (const std::size_t month : {0U, 3U, 6U, 11U}) {
        EXPECT_DOUBLE_EQ(point.climate.tmax_c[month], whole.climate.tmax_c[month]);
        EXPECT_DOUBLE_EQ(point.climate.rain_mm[month], whole.climate.rain_mm[month]);
    }
}

TEST(Fusion, FillsAFewMissingMonthsAndRejectsOtherStations) {
    std::vector<StationPlace> places = biased_places();
    for (const std::size_t month : {2U, 3U}) {
        of(places[0].own_drivers, Driver::rain_root)[month] = kUnknown;
        of(places[1].own_drivers, Driver::rain_root)[month] = kUnknown;
    }
    of(places[1].own_drivers, Driver::rain_root)[9] = kUnknown;
    const Fusion fusion = fusion_of(places);
    EXPECT_EQ(fusion.estimator(Driver::rain_root).places().size(), places.size() - 1);
    EXPECT_EQ(fusion.estimator(Driver::rain_root).places()[1], 2U);
    EXPECT_EQ(fusion.estimator(Driver::mean_temperature).places().size(), places.size());
}

TEST(Fusion, ReportsAndIgnoresAnAbsurdStation) {
    std::vector<StationPlace> places = biased_places();
    shift_own(places[33], Driver::mean_temperature, 25.0);
    places[33].station = 1033;  // the caller's own number
    std::vector<std::pair<std::size_t, Driver>> reported;
    const Fusion fusion =
        fusion_of(places, kAllOfGrids,
                  [&](std::size_t station, Driver driver, const NeighbourEvidence& evidence) {
                      reported.emplace_back(station, driver);
                      EXPECT_FALSE(evidence.is_kept);
                      EXPECT_NEAR(evidence.yearly_misfit, 25.0, 2.5);
                      EXPECT_NEAR(evidence.own - evidence.of_neighbours, 25.0, 2.5);
                      EXPECT_GT(evidence.nearest_km, kSameSiteKm);
                  });
    ASSERT_EQ(reported.size(), 1U);
    EXPECT_EQ(reported[0].first, 1033U);
    EXPECT_EQ(reported[0].second, Driver::mean_temperature);
    const LatLon there = places[33].site.position;
    // 29 °C, and most of 2 °C and of half of 1.5 °C.
    EXPECT_NEAR(fused_at(fusion, there).climate.tmax_c[6], 29.0 + 0.8 * 2.75, 1.0);
}

/// What a left-out station says does not come back by another way.
TEST(Fusion, LeftOutStationsSayNothing) {
    std::vector<StationPlace> places = biased_places();
    const LatLon there = places[20].site.position;
    const LeftOut out{there, 15.0, nullptr};
    const FusedPoint before = fused_at(fusion_of(places), there, mild_climate(there, 300.0), out);
    const FusedPoint with_it = fused_at(fusion_of(places), there);
    EXPECT_NE(before.climate.tmax_c, with_it.climate.tmax_c);
}

/// A small district: every station within 15 km of every other, or only three of them. The error
/// must not vanish because there is nothing to judge it by.
TEST(Fusion, KeepsAnErrorWithFewStations) {
    SeededRandom random(64);
    const test::StationBox district{45.0, 45.05, 8.0, 8.05};
    for (const std::size_t count : {1U, 3U, 10U}) {
        std::vector<StationPlace> places = scattered_places(count, district, random);
        for (StationPlace& place : places) shift_own(place, Driver::mean_temperature, 0.01);
        const Fusion fusion = fusion_of(places);
        const FusedPoint point = fused_at(fusion, {45.2, 8.2});
        EXPECT_GT(of(point.standard_error, Driver::mean_temperature)[6], 0.1) << count;
        EXPECT_GT(of(point.standard_error, Driver::temperature_range)[6], 0.1) << count;
        EXPECT_GT(point.rain_se_mm[6], 1.0) << count;
        EXPECT_LT(of(point.standard_error, Driver::mean_temperature)[6], 3.0) << count;
        EXPECT_GT(fusion.eto_error_factor(), 0.5) << count;
    }
    // Sixty that agree are believed, but nothing is without error, and all is finite.
    const Fusion fusion = fusion_of(scattered_places(60, district, random));
    const FusedPoint point = fused_at(fusion, {45.2, 8.2});
    for (std::size_t d = 0; d < kDrivers; ++d) {
        EXPECT_GT(point.standard_error[d][6], 0.0);
        EXPECT_LT(point.standard_error[d][6], 0.5);
    }
    EXPECT_GT(fusion.eto_error_factor(), 0.5);
}

// ---- Random fields with the covariance that the fusion supposes -----------------------------

struct Truth {
    std::vector<StationPlace> stations;
    std::vector<StationPlace> others;  ///< not known to the fusion
};

/// Every driver errs by `size` times a field of its own.
Truth drawn_world(std::size_t stations, std::size_t others, std::uint64_t seed, double rain_size) {
    SeededRandom random(seed);
    std::vector<ResidualStation> sites =
        test::scattered_stations(stations + others, {38.0, 52.0, 0.0, 22.0}, random);
    std::vector<StationPlace> places;
    for (const ResidualStation& site : sites) {
        places.push_back(place_like_its_grids(places.size(), site.site.position, 300.0));
        places.back().site = site.site;
    }
    struct Field {
        Driver driver;
        double size;
        CovarianceModel model;
    };
    const CovarianceModel warmth{744, 1.81, 6.4, 0.21, 1.19, 0.41, 200, 0.3, 0.5, true};
    const CovarianceModel rain{270, 1.61, 2.6, 0.23, 3.21, 0.38, 180, 0.0, 0.5, false};
    CovarianceModel others_model = warmth;
    others_model.relief_power = 0.0;
    for (const Field& field :
         {Field{Driver::mean_temperature, 0.6, warmth},
          Field{Driver::temperature_range, 0.8, warmth},
          Field{Driver::humidity, 0.03, others_model}, Field{Driver::log_wind, 0.15, others_model},
          Field{Driver::clearness, 0.02, others_model},
          Field{Driver::rain_root, rain_size, rain}}) {
        test::draw_residuals(sites, field.model, random);
        for (std::size_t i = 0; i < places.size(); ++i) {
            Monthly<double>& own = of(places[i].own_drivers, field.driver);
            for (std::size_t month = 0; month < kMonths; ++month)
                own[month] +=
                    field.size * sites[i].residual[month] * error_level(field.driver, own[month]);
        }
    }
    for (StationPlace& place : places) own_from_drivers(place);
    Truth truth;
    truth.others.assign(places.begin() + static_cast<std::ptrdiff_t>(stations), places.end());
    places.resize(stations);
    truth.stations = std::move(places);
    return truth;
}

TEST(FusionOfADrawnWorld, IntervalsHoldWhatTheyPromise) {
    const Truth truth = drawn_world(300, 200, 81, 0.15);
    const Fusion fusion = fusion_of(truth.stations);
    std::array<int, kDrivers> inside{};
    int eto_inside = 0;
    int rain_inside = 0;
    int months = 0;
    for (const StationPlace& place : truth.others) {
        const FusedPoint point = fusion.at(place.of_grids, place.site, place.sun);
        const DriverYear estimated = drivers_of(point.climate, place.sun);
        const auto profile = reference_et_profile(point.climate, place.sun, {}, {kShort, false});
        const auto own = reference_et_profile(place.own, place.sun, {}, {kShort, false});
        const auto error = fusion.eto_se_mm_per_day(point, place.sun, {}, profile);
        for (std::size_t month = 0; month < kMonths; ++month) {
            ++months;
            for (std::size_t d = 0; d < kDrivers; ++d) {
                const double misfit = estimated[d][month] - place.own_drivers[d][month];
                inside[d] += std::abs(misfit) <= 1.645 * point.standard_error[d][month] ? 1 : 0;
            }
            rain_inside += std::abs(point.climate.rain_mm[month] - place.own.rain_mm[month]) <=
                                   1.645 * point.rain_se_mm[month]
                               ? 1
                               : 0;
            eto_inside += std::abs(profile.eto_mm_per_day[month] - own.eto_mm_per_day[month]) <=
                                  1.645 * error[month]
                              ? 1
                              : 0;
        }
    }
    for (const Driver driver : {Driver::mean_temperature, Driver::temperature_range,
                                Driver::humidity, Driver::log_wind, Driver::clearness}) {
        const double share = static_cast<double>(inside[static_cast<std::size_t>(driver)]) / months;
        EXPECT_GT(share, 0.85) << driver_name(driver);
        EXPECT_LT(share, 0.95) << driver_name(driver);
    }
    EXPECT_GT(static_cast<double>(rain_inside) / months, 0.85);
    EXPECT_LT(static_cast<double>(rain_inside) / months, 0.95);
    EXPECT_GT(static_cast<double>(eto_inside) / months, 0.85);
    EXPECT_LT(static_cast<double>(eto_inside) / months, 0.95);
    // Errors of the drivers are independent here, as the error of ETo supposes.
    EXPECT_NEAR(fusion.eto_error_factor(), 1.0, 0.2);
}

TEST(FusionOfADrawnWorld, ErrsMoreFarFromStations) {
    const Fusion fusion = fusion_of(drawn_world(300, 0, 83, 0.1).stations);
    const FusedPoint near = fused_at(fusion, kMiddle);
    const FusedPoint far = fused_at(fusion, kFar);
    for (std::size_t d = 0; d < kDrivers; ++d) {
        double near_error = 0.0;
        double far_error = 0.0;
        for (std::size_t month = 0; month < kMonths; ++month) {
            near_error += near.standard_error[d][month];
            far_error += far.standard_error[d][month];
        }
        EXPECT_GT(far_error, 1.1 * near_error) << driver_name(static_cast<Driver>(d));
    }
    EXPECT_GT(far.rain_se_mm[6], 1.1 * near.rain_se_mm[6]);
}

/// Rain is estimated as a root; its square alone is too little. Half of what is lost comes back
/// (all of it overshoots on real stations), which leaves little.
TEST(FusionOfADrawnWorld, RainKeepsItsMean) {
    const Truth truth = drawn_world(300, 300, 82, 0.1);
    const Fusion fusion = fusion_of(truth.stations);
    double observed = 0.0;
    double estimated = 0.0;
    double squared_roots = 0.0;
    for (const StationPlace& place : truth.others) {
        const FusedPoint point = fusion.at(place.of_grids, place.site, place.sun);
        for (std::size_t month = 0; month < kMonths; ++month) {
            const double error = of(point.standard_error, Driver::rain_root)[month];
            observed += place.own.rain_mm[month];
            estimated += point.climate.rain_mm[month];
            squared_roots +=
                point.climate.rain_mm[month] - 0.5 * error * error * kDaysInMonth[month];
        }
    }
    EXPECT_NEAR(estimated / observed, 1.0, 0.03);
    EXPECT_LT(std::abs(estimated / observed - 1.0), std::abs(squared_roots / observed - 1.0));
}

// ---- Stations as fusion sees them -------------------------------------------------------------

}  // namespace
}  // namespace thirstline
