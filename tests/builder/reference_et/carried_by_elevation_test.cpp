// Lapse rates, and how ETo changes with elevation.
#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/lapse_rates.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"
#include "tests/support/sample_climates.hpp"

namespace thirstline {
namespace {

constexpr int kJanuary = 0;
constexpr int kJuly = 6;
constexpr EtOptions kAsMeasured{ReferenceSurface::short_reference, false};

// About 0.33 in summer and 0.41 in winter (Kunkel 1989, second hand).
TEST(LapseRates, VapourPressureFallsFasterInWinter) {
    EXPECT_NEAR(vapour_pressure_lapse_per_km(45.0, kJanuary), 0.41, 0.005);
    EXPECT_NEAR(vapour_pressure_lapse_per_km(45.0, kJuly), 0.33, 0.005);
    EXPECT_NEAR(vapour_pressure_lapse_per_km(-45.0, kJanuary), 0.33, 0.005);
    EXPECT_NEAR(vapour_pressure_lapse_per_km(-45.0, kJuly), 0.41, 0.005);
}

TEST(LapseRates, AreContinuousAcrossTheEquatorAndMirror) {
    for (int month = 0; month < kMonths; ++month) {
        double last = vapour_pressure_lapse_per_km(-90.0, month);
        for (int i = -899; i <= 900; ++i) {
            const double now = vapour_pressure_lapse_per_km(i / 10.0, month);
            ASSERT_NEAR(now, last, 0.001);
            ASSERT_NEAR(now, vapour_pressure_lapse_per_km(-i / 10.0, (month + 6) % kMonths), 1e-12);
            last = now;
        }
    }
}

TEST(LapseRates, OfTemperatureAreTheDefaults) {
    const LapseRates rates = default_lapse_rates(12.0);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_EQ(rates.tmax_c_per_km[month], 6.5);
        EXPECT_EQ(rates.tmin_c_per_km[month], 4.5);
        EXPECT_EQ(rates.vapour_pressure_per_km[month], vapour_pressure_lapse_per_km(12.0, month));
    }
}

TEST(LapseRates, CarryUpAndBack) {
    EXPECT_DOUBLE_EQ(temperature_carried_c(20.0, 500.0, 6.0), 17.0);
    EXPECT_NEAR(vapour_pressure_carried_kpa(1.5, 1000.0, 0.4), 1.5 * std::exp(-0.4), 1e-12);
    EXPECT_NEAR(
        vapour_pressure_carried_kpa(vapour_pressure_carried_kpa(1.5, 900.0, 0.37), -900.0, 0.37),
        1.5, 1e-12);
}

// Carried together they keep the air as moist as it was: a kilometre moves RH at the mean
// temperature by a few per cent only, and never to saturation.
TEST(LapseRates, CarriedTogetherTheyKeepRelativeHumidity) {
    for (const double tmean : {0.0, 10.0, 20.0, 30.0}) {
        const double ea = 0.7 * saturation_vapour_pressure_kpa(tmean);
        const double up = vapour_pressure_carried_kpa(ea, 1000.0, 0.37) /
                          saturation_vapour_pressure_kpa(temperature_carried_c(tmean, 1000.0, 5.5));
        EXPECT_NEAR(up, 0.7, 0.05);
    }
}

ElevationGradients gradients_of(const PointClimate& point, const Surroundings& around,
                                EtOptions options, const LapseRates& rates) {
    const MonthlySun sun = monthly_sun(point.position.lat_deg);
    return elevation_gradients(point, sun, around, options, rates,
                               reference_et_profile(point, sun, around, options));
}

PointClimate carried_by_hand(PointClimate point, double rise_m, const LapseRates& rates) {
    point.elevation_m += rise_m;
    for (int month = 0; month < kMonths; ++month) {
        point.tmax_c[month] -= rates.tmax_c_per_km[month] * rise_m / 1000.0;
        point.tmin_c[month] -= rates.tmin_c_per_km[month] * rise_m / 1000.0;
        point.vapour_pressure_kpa[month] *=
            std::exp(-rates.vapour_pressure_per_km[month] * rise_m / 1000.0);
    }
    return point;
}

TEST(ElevationGradients, AreTheDifferenceBetweenTwoElevations) {
    const PointClimate valley = merrow_valley();
    const LapseRates rates = default_lapse_rates(valley.position.lat_deg);
    const ElevationGradients gradients = gradients_of(valley, {}, kAsMeasured, rates);
    const MonthlySun sun = monthly_sun(valley.position.lat_deg);
    const ReferenceEtProfile up =
        reference_et_profile(carried_by_hand(valley, 100.0, rates), sun, {}, kAsMeasured);
    const ReferenceEtProfile down =
        reference_et_profile(carried_by_hand(valley, -100.0, rates), sun, {}, kAsMeasured);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_NEAR(gradients.eto_mm_per_day_per_km[month],
                    (up.eto_mm_per_day[month] - down.eto_mm_per_day[month]) / 0.2, 1e-9);
        EXPECT_EQ(gradients.tmax_c_per_km[month], -6.5);
        EXPECT_EQ(gradients.tmin_c_per_km[month], -4.5);
    }
    EXPECT_LT(gradients.eto_mm_per_day_per_km[kJuly], 0.0);
    EXPECT_GT(gradients.eto_mm_per_day_per_km[kJuly], -2.0);
}

// The same air told as a dew point is the same air.
TEST(ElevationGradients, DoNotDependOnHowHumidityIsTold) {
    PointClimate as_dew_point = merrow_valley();
    const LapseRates rates = default_lapse_rates(as_dew_point.position.lat_deg);
    const ElevationGradients from_pressure = gradients_of(as_dew_point, {}, {}, rates);
    as_dew_point.vapour_pressure_kpa = kUnknownYear;
    const ElevationGradients from_dew_point = gradients_of(as_dew_point, {}, {}, rates);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_NEAR(from_pressure.eto_mm_per_day_per_km[month],
                    from_dew_point.eto_mm_per_day_per_km[month], 1e-9);
    }
}

// The correction begins abruptly at 5 °C; no gradient may hold that step.
TEST(ElevationGradients, HaveNoStepWhereTheCorrectionBegins) {
    PointClimate point = merrow_valley();
    point.rain_mm.fill(0.0);
    point.vapour_pressure_kpa.fill(0.25);
    const LapseRates rates = default_lapse_rates(point.position.lat_deg);
    point.tmax_c.fill(10.1);
    point.tmin_c.fill(0.1);  // Tmean 5.1: 100 m above it is below 5
    const ElevationGradients with = gradients_of(point, {}, {}, rates);
    point.tmax_c.fill(9.9);
    const ElevationGradients without = gradients_of(point, {}, {}, rates);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_NEAR(with.eto_mm_per_day_per_km[month], without.eto_mm_per_day_per_km[month], 0.1);
    }
}

// A year of twelve equal, rainless months has one shift and no soil heat, so it can be done by
// hand: carry the air to each elevation, then shift it.
TEST(ElevationGradients, AreThoseOfTheCorrectedEto) {
    PointClimate point = merrow_valley();
    point.rain_mm.fill(0.0);
    point.tmax_c.fill(34.0);
    point.tmin_c.fill(18.0);
    point.vapour_pressure_kpa.fill(saturation_vapour_pressure_kpa(12.0));
    constexpr double kShiftC = (18.0 - 12.0 - 2.0) / 2.0;
    const LapseRates rates = default_lapse_rates(point.position.lat_deg);
    const MonthlySun sun = monthly_sun(point.position.lat_deg);
    const auto corrected_by_hand = [&](double rise_m) {
        PointClimate moved = carried_by_hand(point, rise_m, rates);
        for (int month = 0; month < kMonths; ++month) {
            moved.tmax_c[month] -= kShiftC;
            moved.tmin_c[month] -= kShiftC;
            moved.vapour_pressure_kpa[month] = saturation_vapour_pressure_kpa(
                dew_point_c(moved.vapour_pressure_kpa[month]) + kShiftC);
        }
        return reference_et_profile(moved, sun, {}, kAsMeasured);
    };
    const ReferenceEtProfile up = corrected_by_hand(100.0);
    const ReferenceEtProfile down = corrected_by_hand(-100.0);
    const ElevationGradients gradients = gradients_of(point, {}, {}, rates);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_NEAR(gradients.eto_mm_per_day_per_km[month],
                    (up.eto_mm_per_day[month] - down.eto_mm_per_day[month]) / 0.2, 1e-9);
    }
}

TEST(ElevationGradients, ExistOnEveryRungAndAreUnknownWithEto) {
    PointClimate point = merrow_valley();
    point.tmax_c[kJuly] = kUnknown;
    const LapseRates rates = default_lapse_rates(point.position.lat_deg);
    ElevationGradients gradients = gradients_of(point, merrow_hills(), {}, rates);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_EQ(std::isnan(gradients.eto_mm_per_day_per_km[month]), month == kJuly);
    }
    PointClimate bare;
    bare.position = point.position;
    bare.tmax_c = merrow_valley().tmax_c;
    bare.tmin_c = merrow_valley().tmin_c;
    for (const Surroundings& around : {Surroundings{}, merrow_hills()}) {
        gradients = gradients_of(bare, around, {}, rates);
        for (int month = 0; month < kMonths; ++month) {
            EXPECT_LT(gradients.eto_mm_per_day_per_km[month], 0.0);
        }
    }
}

}  // namespace
}  // namespace thirstline
