// The site correction: its own formula, and when the profile uses it. No publication gives an
// example; the expected values are computed by hand from the rule in site_correction.hpp.
#include "builder/reference_et/site_correction.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"
#include "tests/support/sample_climates.hpp"
#include "tests/support/sample_months.hpp"

namespace thirstline {
namespace {

TEST(SiteShift, IsHalfOfWhatExceedsTwoDegrees) {
    EXPECT_DOUBLE_EQ(site_shift_c(25.0, 15.0, 9.0, 1.0), 2.0);
    EXPECT_DOUBLE_EQ(site_shift_c(25.0, 15.0, 9.0, 0.25), 0.5);
}

TEST(SiteShift, IsLimitedBeforeItIsWeighted) {
    EXPECT_DOUBLE_EQ(site_shift_c(25.0, 15.0, -10.0, 1.0), 3.0);
    EXPECT_DOUBLE_EQ(site_shift_c(25.0, 15.0, -10.0, 0.5), 1.5);
}

TEST(SiteShift, IsZeroInMoistColdOrWetWeather) {
    EXPECT_EQ(site_shift_c(25.0, 15.0, 13.0, 1.0), 0.0);
    EXPECT_EQ(site_shift_c(25.0, 15.0, 18.0, 1.0), 0.0);
    EXPECT_EQ(site_shift_c(4.99, 0.0, -9.0, 1.0), 0.0);
    EXPECT_GT(site_shift_c(5.0, 0.0, -9.0, 1.0), 0.0);
    EXPECT_EQ(site_shift_c(25.0, 15.0, 5.0, 0.0), 0.0);
}

TEST(DrynessWeight, FallsFromOneToNothingAsRainReachesEto) {
    EXPECT_DOUBLE_EQ(dryness_weight(0.0, 200.0), 1.0);
    EXPECT_DOUBLE_EQ(dryness_weight(50.0, 200.0), 0.75);
    EXPECT_EQ(dryness_weight(200.0, 200.0), 0.0);
    EXPECT_EQ(dryness_weight(900.0, 200.0), 0.0);
    EXPECT_EQ(dryness_weight(0.0, 0.0), 0.0);
    EXPECT_EQ(dryness_weight(kNan, 200.0), 0.0);
    EXPECT_EQ(dryness_weight(10.0, kNan), 0.0);
}

TEST(TwoMonthSums, CloseTheYearAndCountDays) {
    Monthly<double> rain{};
    rain[kJanuary] = 30.0;
    rain[kDecember] = 50.0;
    EXPECT_DOUBLE_EQ(two_month_rain_mm(rain, kJanuary), 80.0);
    EXPECT_DOUBLE_EQ(two_month_rain_mm(rain, 1), 30.0);
    Monthly<double> eto{};
    eto[0] = 1.0;
    eto[1] = 2.0;
    EXPECT_DOUBLE_EQ(two_month_eto_mm(eto, 1), 31.0 + 2.0 * 28.25);
    rain[kDecember] = kNan;
    EXPECT_TRUE(std::isnan(two_month_rain_mm(rain, kJanuary)));
}

ReferenceEtProfile corrected_profile_of(const PointClimate& point, EtOptions options = {}) {
    return reference_et_profile(point, monthly_sun(point.position.lat_deg), {}, options);
}

// What the profile does is the rule: the same equation with the weather moved by hand.
TEST(SiteCorrectionOfProfile, MovesTemperaturesAndDewPointByTheShift) {
    const PointClimate valley = merrow_valley();
    const ReferenceEtProfile corrected = corrected_profile_of(valley);

    const double rain = valley.rain_mm[kJuly] + valley.rain_mm[kJuly - 1];
    const double eto = corrected.eto_uncorrected_mm_per_day[kJuly] * 31.0 +
                       corrected.eto_uncorrected_mm_per_day[kJuly - 1] * 30.0;
    const double depression = valley.tmin_c[kJuly] - valley.dew_point_c[kJuly];
    const double shift = (1.0 - rain / eto) * std::min((depression - 2.0) / 2.0, 3.0);
    EXPECT_GT(shift, 1.0);
    EXPECT_NEAR(corrected.site_shift_c[kJuly], shift, 1e-9);

    PointClimate moved = valley;
    for (int month = 0; month < kMonths; ++month) {
        // All months alike, so that soil heat flux stays as it was.
        moved.tmax_c[month] -= shift;
        moved.tmin_c[month] -= shift;
        moved.vapour_pressure_kpa[month] =
            saturation_vapour_pressure_kpa(valley.dew_point_c[month] + shift);
    }
    const ReferenceEtProfile by_hand =
        corrected_profile_of(moved, {ReferenceSurface::short_reference, false});
    EXPECT_NEAR(corrected.eto_mm_per_day[kJuly], by_hand.eto_mm_per_day[kJuly], 1e-9);
    EXPECT_LT(corrected.eto_mm_per_day[kJuly], 0.97 * corrected.eto_uncorrected_mm_per_day[kJuly]);
}

TEST(SiteCorrectionOfProfile, LeavesWetAndFrozenMonthsAlone) {
    PointClimate valley = merrow_valley();
    valley.rain_mm.fill(400.0);
    ReferenceEtProfile profile = corrected_profile_of(valley);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_EQ(profile.eto_mm_per_day[month], profile.eto_uncorrected_mm_per_day[month]);
        EXPECT_EQ(profile.method[month].correction, SiteCorrection::reference);
    }

    PointClimate frozen = merrow_valley();
    frozen.rain_mm.fill(0.0);
    for (int month = 0; month < kMonths; ++month) {
        frozen.tmax_c[month] = 9.0;
        frozen.tmin_c[month] = 0.9;
        frozen.vapour_pressure_kpa[month] = 0.1;
    }
    profile = corrected_profile_of(frozen);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_EQ(profile.eto_mm_per_day[month], profile.eto_uncorrected_mm_per_day[month]);
        EXPECT_EQ(profile.site_shift_c[month], 0.0);
    }
    frozen.tmax_c.fill(9.2);  // Tmean 5.05 °C
    EXPECT_LT(corrected_profile_of(frozen).eto_mm_per_day[kJuly],
              corrected_profile_of(frozen).eto_uncorrected_mm_per_day[kJuly]);
}

TEST(SiteCorrectionOfProfile, IsNotDoneWhereRainOfEitherMonthIsUnknown) {
    PointClimate valley = merrow_valley();
    valley.rain_mm[kJuly] = kNan;
    const ReferenceEtProfile profile = corrected_profile_of(valley);
    for (const int month : {kJuly, kJuly + 1}) {
        EXPECT_EQ(profile.eto_mm_per_day[month], profile.eto_uncorrected_mm_per_day[month]);
        EXPECT_EQ(profile.method[month].correction, SiteCorrection::not_done_rain_unknown);
    }
    EXPECT_EQ(profile.method[kJuly - 1].correction, SiteCorrection::reference);
    EXPECT_LT(profile.eto_mm_per_day[kJuly - 1], profile.eto_uncorrected_mm_per_day[kJuly - 1]);
}

TEST(SiteCorrectionOfProfile, IsNotDoneWhereLastMonthsEtoIsUnknown) {
    PointClimate valley = merrow_valley();
    valley.tmax_c[kJuly - 1] = kNan;
    const ReferenceEtProfile profile = corrected_profile_of(valley);
    EXPECT_TRUE(std::isnan(profile.eto_mm_per_day[kJuly - 1]));
    EXPECT_EQ(profile.eto_mm_per_day[kJuly], profile.eto_uncorrected_mm_per_day[kJuly]);
    EXPECT_EQ(profile.method[kJuly].correction, SiteCorrection::not_done_rain_unknown);
}

TEST(SiteCorrectionOfProfile, CanBeDeclined) {
    const ReferenceEtProfile profile =
        corrected_profile_of(merrow_valley(), {ReferenceSurface::short_reference, false});
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_EQ(profile.eto_mm_per_day[month], profile.eto_uncorrected_mm_per_day[month]);
        EXPECT_EQ(profile.method[month].correction, SiteCorrection::not_wanted);
    }
}

// Dryness is rain against the short reference: the surface asked for does not change the shift.
TEST(SiteCorrectionOfProfile, ShiftIsTheSameForTheTallReference) {
    const ReferenceEtProfile small = corrected_profile_of(merrow_valley());
    const ReferenceEtProfile tall =
        corrected_profile_of(merrow_valley(), {ReferenceSurface::tall_reference, true});
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_EQ(small.site_shift_c[month], tall.site_shift_c[month]);
        EXPECT_GT(tall.eto_mm_per_day[month], small.eto_mm_per_day[month]);
    }
}

TEST(SiteCorrectionOfProfile, SurvivesAirWithoutAnyVapour) {
    PointClimate valley = merrow_valley();
    valley.vapour_pressure_kpa.fill(0.0);
    const ReferenceEtProfile profile = corrected_profile_of(valley);
    for (int month = 0; month < kMonths; ++month) {
        EXPECT_TRUE(std::isfinite(profile.eto_mm_per_day[month]));
        EXPECT_LE(profile.site_shift_c[month], 3.0);
    }
}

}  // namespace
}  // namespace thirstline
