// Which driver is used for a month, and that it is recorded in the method.
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <utility>
#include <vector>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/dew_point_depression.hpp"
#include "builder/reference_et/hargreaves.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"
#include "builder/reference_et/radiation.hpp"
#include "builder/reference_et/site_correction.hpp"
#include "tests/support/sample_climates.hpp"
#include "tests/support/sample_months.hpp"

namespace thirstline {
namespace {

constexpr int kJune = 5;
constexpr EtOptions kTall{ReferenceSurface::tall_reference, false};

ReferenceEtProfile profile_of(const PointClimate& point, const Surroundings& around = {},
                              EtOptions options = kAsMeasured) {
    return reference_et_profile(point, monthly_sun(point.position.lat_deg), around, options);
}

PointClimate temperature_only() {
    PointClimate point;
    const PointClimate valley = merrow_valley();
    point.position = valley.position;
    point.elevation_m = valley.elevation_m;
    point.tmax_c = valley.tmax_c;
    point.tmin_c = valley.tmin_c;
    point.rain_mm = valley.rain_mm;
    return point;
}

/// ETo of July when `point` is given these drivers outright.
double july_from(PointClimate point, double ea_kpa, double u2, double rs) {
    point.vapour_pressure_kpa[kJuly] = ea_kpa;
    point.u2_m_per_s[kJuly] = u2;
    point.rs_mj_m2_day[kJuly] = rs;
    return profile_of(point).eto_mm_per_day[kJuly];
}

double july_ra() {
    return monthly_sun(merrow_valley().position.lat_deg).ra_mj_m2_day[kJuly];
}

TEST(MethodLadder, TakesEachInTurn) {
    const PointClimate valley = merrow_valley();
    const double ea = valley.vapour_pressure_kpa[kJuly];
    const double ra = july_ra();
    const auto check = [&](const PointClimate& point, const Surroundings& around,
                           RadiationFrom from, double rs) {
        const ReferenceEtProfile profile = profile_of(point, around);
        EXPECT_EQ(profile.method[kJuly].equation, EtoEquation::penman_monteith);
        EXPECT_EQ(profile.method[kJuly].radiation, from);
        EXPECT_EQ(profile.method[kJuly].humidity, HumidityFrom::vapour_pressure);
        EXPECT_EQ(profile.method[kJuly].wind, WindFrom::given);
        EXPECT_NEAR(profile.eto_mm_per_day[kJuly], july_from(point, ea, 2.4, rs), 1e-9);
    };
    PointClimate point = valley;
    point.rs_mj_m2_day[kJuly] = 26.0;
    check(point, merrow_hills(), RadiationFrom::given, 26.0);

    point.rs_mj_m2_day = kUnknownYear;
    point.sunshine_fraction[kJuly] = 0.1;  // hours come first
    const double hours = point.sunshine_hours_per_day[kJuly];
    const double day = monthly_sun(point.position.lat_deg).daylight_hours[kJuly];
    check(point, merrow_hills(), RadiationFrom::sunshine, (0.25 + 0.5 * hours / day) * ra);

    point.sunshine_hours_per_day = kUnknownYear;
    check(point, merrow_hills(), RadiationFrom::sunshine, 0.30 * ra);

    point.sunshine_fraction = kUnknownYear;
    check(point, merrow_hills(), RadiationFrom::cloud, (0.25 + 0.5 * 0.85) * ra);

    point.cloud_fraction = kUnknownYear;
    const double root = std::sqrt(valley.tmax_c[kJuly] - valley.tmin_c[kJuly]);
    check(point, merrow_hills(), RadiationFrom::temperature_range_fitted, 0.165 * root * ra);
    check(point, {}, RadiationFrom::temperature_range, 0.16 * root * ra);
    point.coastal = true;
    check(point, {}, RadiationFrom::temperature_range, 0.19 * root * ra);
}

TEST(HumidityLadder, TakesEachInTurn) {
    const PointClimate valley = merrow_valley();
    const double rs = valley.rs_mj_m2_day[kJuly];
    const double tmean = (valley.tmax_c[kJuly] + valley.tmin_c[kJuly]) / 2.0;
    const auto check = [&](const PointClimate& point, const Surroundings& around, HumidityFrom from,
                           double ea) {
        const ReferenceEtProfile profile = profile_of(point, around);
        EXPECT_EQ(profile.method[kJuly].humidity, from);
        EXPECT_EQ(profile.method[kJuly].radiation, RadiationFrom::given);
        EXPECT_NEAR(profile.eto_mm_per_day[kJuly], july_from(point, ea, 2.4, rs), 1e-9);
    };
    PointClimate point = valley;
    point.vapour_pressure_kpa[kJuly] = 1.4;
    check(point, merrow_hills(), HumidityFrom::vapour_pressure, 1.4);

    point.vapour_pressure_kpa = kUnknownYear;
    check(point, merrow_hills(), HumidityFrom::dew_point,
          saturation_vapour_pressure_kpa(valley.dew_point_c[kJuly]));

    point.dew_point_c = kUnknownYear;
    check(point, merrow_hills(), HumidityFrom::relative_humidity,
          0.6 * saturation_vapour_pressure_kpa(tmean));

    point.relative_humidity_percent = kUnknownYear;
    check(point, merrow_hills(), HumidityFrom::nearby_depression,
          saturation_vapour_pressure_kpa(valley.tmin_c[kJuly] - 3.0));

    const MonthlySun sun = monthly_sun(point.position.lat_deg);
    const double eto = 31.0 * hargreaves_eto_mm_per_day(valley.tmax_c[kJuly], valley.tmin_c[kJuly],
                                                        sun.ra_mj_m2_day[kJuly]) +
                       30.0 * hargreaves_eto_mm_per_day(valley.tmax_c[kJune], valley.tmin_c[kJune],
                                                        sun.ra_mj_m2_day[kJune]);
    const double depression =
        depression_from_aridity_c(valley.rain_mm[kJuly] + valley.rain_mm[kJune], eto);
    EXPECT_GT(depression, 7.0);  // a dry summer: never silently Tmin
    check(point, {}, HumidityFrom::aridity_depression,
          saturation_vapour_pressure_kpa(valley.tmin_c[kJuly] - depression));

    point.rain_mm[kJune] = kUnknown;
    check(point, {}, HumidityFrom::aridity_depression,
          saturation_vapour_pressure_kpa(valley.tmin_c[kJuly] - kDepressionWhereRainUnknownC));
}

TEST(WindLadder, TakesEachInTurn) {
    const PointClimate valley = merrow_valley();
    const double ea = valley.vapour_pressure_kpa[kJuly];
    const double rs = valley.rs_mj_m2_day[kJuly];
    const auto check = [&](const PointClimate& point, const Surroundings& around, WindFrom from,
                           double u2) {
        const ReferenceEtProfile profile = profile_of(point, around);
        EXPECT_EQ(profile.method[kJuly].wind, from);
        EXPECT_NEAR(profile.eto_mm_per_day[kJuly], july_from(point, ea, u2, rs), 1e-9);
    };
    PointClimate point = valley;
    check(point, merrow_hills(), WindFrom::given, 2.4);
    point.u2_m_per_s.fill(0.1);
    check(point, merrow_hills(), WindFrom::given, 0.5);
    point.u2_m_per_s = kUnknownYear;
    check(point, merrow_hills(), WindFrom::nearby, 1.7);
    check(point, {}, WindFrom::two_m_per_s, 2.0);
    Surroundings still = merrow_hills();
    still.u2_m_per_s.fill(0.2);
    check(point, still, WindFrom::nearby, 0.5);
}

TEST(TemperatureOnly, TakesDepressionAndWindOfTheSurroundingsIfBothAreThere) {
    const ReferenceEtProfile profile = profile_of(temperature_only(), merrow_hills());
    const Method expected{EtoEquation::penman_monteith, HumidityFrom::nearby_depression,
                          WindFrom::nearby, RadiationFrom::temperature_range_fitted,
                          SiteCorrection::not_wanted};
    EXPECT_EQ(profile.method[kJuly], expected);
    const double root =
        std::sqrt(temperature_only().tmax_c[kJuly] - temperature_only().tmin_c[kJuly]);
    const double ea = saturation_vapour_pressure_kpa(temperature_only().tmin_c[kJuly] - 3.0);
    EXPECT_NEAR(profile.eto_mm_per_day[kJuly],
                july_from(temperature_only(), ea, 1.7, 0.165 * root * july_ra()), 1e-9);
}

TEST(TemperatureOnly, IsHargreavesScaledByTheRatioElsePlain) {
    const double plain = hargreaves_eto_mm_per_day(temperature_only().tmax_c[kJuly],
                                                   temperature_only().tmin_c[kJuly], july_ra());
    Surroundings around = merrow_hills();
    around.u2_m_per_s = kUnknownYear;
    ReferenceEtProfile profile = profile_of(temperature_only(), around);
    EXPECT_EQ(profile.method[kJuly].equation, EtoEquation::hargreaves_scaled);
    EXPECT_NEAR(profile.eto_mm_per_day[kJuly], 0.95 * plain, 1e-12);

    around = merrow_hills();
    around.dew_point_depression_c = kUnknownYear;
    EXPECT_EQ(profile_of(temperature_only(), around).method[kJuly].equation,
              EtoEquation::hargreaves_scaled);

    profile = profile_of(temperature_only());
    EXPECT_EQ(profile.method[kJuly].equation, EtoEquation::hargreaves);
    EXPECT_NEAR(profile.eto_mm_per_day[kJuly], plain, 1e-12);
}

TEST(TemperatureOnly, IsDecidedMonthByMonth) {
    PointClimate point = temperature_only();
    point.cloud_fraction[kJuly] = 0.1;
    const ReferenceEtProfile profile = profile_of(point);
    EXPECT_EQ(profile.method[kJuly].equation, EtoEquation::penman_monteith);
    EXPECT_EQ(profile.method[kJune].equation, EtoEquation::hargreaves);
}

// Hargreaves–Samani has no dew point to correct.
TEST(TemperatureOnly, HargreavesIsNotCorrected) {
    const ReferenceEtProfile profile = profile_of(temperature_only(), {}, {});
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_EQ(profile.eto_mm_per_day[month], profile.eto_uncorrected_mm_per_day[month]);
        EXPECT_EQ(profile.method[month].correction, SiteCorrection::not_wanted);
        EXPECT_EQ(site_correction_text(profile.method[month].correction), "none");
    }
}

TEST(TallReference, IsUnknownFromTemperatureAloneButForTheRatio) {
    const ReferenceEtProfile unknown = profile_of(temperature_only(), {}, kTall);
    EXPECT_TRUE(std::isnan(unknown.eto_mm_per_day[kJuly]));
    Surroundings around;
    around.penman_monteith_to_hargreaves.fill(1.25);
    const ReferenceEtProfile scaled = profile_of(temperature_only(), around, kTall);
    EXPECT_NEAR(scaled.eto_mm_per_day[kJuly],
                1.25 * profile_of(temperature_only()).eto_mm_per_day[kJuly], 1e-12);
}

// Its short ETo still weighs the dryness of the month after.
TEST(TallReference, UsesDrynessOfAMonthBesideAnUnknownOne) {
    PointClimate point = temperature_only();
    point.dew_point_c[kJuly] = 5.0;
    const ReferenceEtProfile profile =
        profile_of(point, {}, {ReferenceSurface::tall_reference, true});
    EXPECT_TRUE(std::isnan(profile.eto_mm_per_day[kJune]));
    EXPECT_EQ(profile.method[kJuly].correction, SiteCorrection::reference);
    EXPECT_GT(profile.site_shift_c[kJuly], 2.5);
}

TEST(UnknownTemperature, LeavesTheMonthUnknownAndNoOther) {
    PointClimate point = merrow_valley();
    point.tmin_c[kJuly] = kUnknown;
    const ReferenceEtProfile profile = profile_of(point, merrow_hills());
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_EQ(std::isnan(profile.eto_mm_per_day[month]), month == kJuly);
        EXPECT_EQ(std::isnan(profile.eto_uncorrected_mm_per_day[month]), month == kJuly);
    }
    EXPECT_EQ(profile.method[kJuly].equation, EtoEquation::hargreaves);
}

TEST(Ladder, TakesGivenValuesAsTheyAre) {
    // Twice what a clear sky gives is an error of the source, not for the equation to hide.
    const PointClimate valley = merrow_valley();
    const double rso = (0.75 + 2e-5 * valley.elevation_m) * july_ra();
    const double at_limit = july_from(valley, 1.2, 2.0, rso);
    const double above = july_from(valley, 1.2, 2.0, 2.0 * rso);
    EXPECT_GT(above, 1.5 * at_limit);
    // Vapour beyond saturation: no deficit, but no negative one either.
    EXPECT_GT(july_from(valley, 9.0, 2.0, rso), 0.0);
}

// Taking drivers away, in any order, never makes the recorded method better, and the answer stays a
// number.
TEST(Ladder, LosingDriversNeverImprovesTheMethod) {
    using Remove = std::function<void(PointClimate&, Surroundings&)>;
    const std::vector<Remove> removals{
        [](PointClimate& p, Surroundings&) { p.vapour_pressure_kpa = kUnknownYear; },
        [](PointClimate& p, Surroundings&) { p.dew_point_c = kUnknownYear; },
        [](PointClimate& p, Surroundings&) { p.relative_humidity_percent = kUnknownYear; },
        [](PointClimate& p, Surroundings&) { p.u2_m_per_s = kUnknownYear; },
        [](PointClimate& p, Surroundings&) { p.rs_mj_m2_day = kUnknownYear; },
        [](PointClimate& p, Surroundings&) { p.sunshine_hours_per_day = kUnknownYear; },
        [](PointClimate& p, Surroundings&) { p.sunshine_fraction = kUnknownYear; },
        [](PointClimate& p, Surroundings&) { p.cloud_fraction = kUnknownYear; },
        [](PointClimate& p, Surroundings&) { p.rain_mm = kUnknownYear; },
        [](PointClimate&, Surroundings& s) { s.dew_point_depression_c = kUnknownYear; },
        [](PointClimate&, Surroundings& s) { s.u2_m_per_s = kUnknownYear; },
        [](PointClimate&, Surroundings& s) { s.radiation_coefficient = kUnknownYear; },
        [](PointClimate&, Surroundings& s) { s.penman_monteith_to_hargreaves = kUnknownYear; },
    };
    Dice dice(20240501);
    for (int trial = 0; trial < 300; ++trial) {
        PointClimate point = random_climate(dice);
        Surroundings around = merrow_hills();
        std::vector<std::size_t> order(removals.size());
        for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
        for (std::size_t i = order.size() - 1; i > 0; --i) {
            std::swap(order[i],
                      order[static_cast<std::size_t>(dice.below(static_cast<int>(i) + 1))]);
        }
        ReferenceEtProfile last = profile_of(point, around, {});
        for (const std::size_t which : order) {
            removals[which](point, around);
            const ReferenceEtProfile now = profile_of(point, around, {});
            for (int month = 0; month < kMonths; ++month) {
                ASSERT_GE(method_code(now.method[month]), method_code(last.method[month]))
                    << "removal " << which << " in trial " << trial;
                ASSERT_TRUE(std::isfinite(now.eto_mm_per_day[month]));
                ASSERT_GE(now.eto_mm_per_day[month], 0.0);
            }
            last = now;
        }
        EXPECT_EQ(last.method[kJuly].equation, EtoEquation::hargreaves);
    }
}

}  // namespace
}  // namespace thirstline
