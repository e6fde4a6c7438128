// Properties of every profile, for any climate.
#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/monthly_reference_et.hpp"
#include "tests/support/sample_climates.hpp"

namespace thirstline {
namespace {

ReferenceEtProfile random_profile_of(const PointClimate& point, EtOptions options = {}) {
    return reference_et_profile(point, monthly_sun(point.position.lat_deg), {}, options);
}

TEST(ProfileProperties, IsFiniteAndNeverNegativeAnywhere) {
    Dice dice(7);
    for (int trial = 0; trial < 2000; ++trial) {
        const PointClimate point = random_climate(dice);
        const ReferenceEtProfile small = random_profile_of(point);
        const ReferenceEtProfile tall =
            random_profile_of(point, {ReferenceSurface::tall_reference, true});
        for (int month = 0; month < kMonths; ++month) {
            ASSERT_TRUE(std::isfinite(small.eto_mm_per_day[month]));
            ASSERT_TRUE(std::isfinite(tall.eto_mm_per_day[month]));
            ASSERT_GE(small.eto_mm_per_day[month], 0.0);
            ASSERT_LT(small.eto_mm_per_day[month], 60.0);
            ASSERT_GE(small.site_shift_c[month], 0.0);
            ASSERT_LE(small.site_shift_c[month], 3.0);
            if (small.site_shift_c[month] == 0.0) {
                ASSERT_EQ(small.eto_mm_per_day[month], small.eto_uncorrected_mm_per_day[month]);
            }
        }
    }
}

// The shift makes air cooler and damper: less ETo, but for the long-wave radiation that damp air
// saves, which decides where no wind carries the deficit.
TEST(ProfileProperties, CorrectionLowersEtoWhereThereIsWind) {
    Dice dice(8);
    for (int trial = 0; trial < 2000; ++trial) {
        PointClimate point = random_climate(dice);
        for (double& u2 : point.u2_m_per_s) u2 += 1.5;
        const ReferenceEtProfile profile = random_profile_of(point);
        for (int month = 0; month < kMonths; ++month) {
            ASSERT_LE(profile.eto_mm_per_day[month], profile.eto_uncorrected_mm_per_day[month]);
        }
    }
}

/// The valley's ETo when one of its drivers is multiplied by a factor in every month.
Monthly<double> valley_eto(Monthly<double> PointClimate::*driver, double factor) {
    PointClimate point = merrow_valley();
    for (double& value : point.*driver) value *= factor;
    return random_profile_of(point, kAsMeasured).eto_mm_per_day;
}

// Eq. 39 takes a bright sky for a clear one, which loses more: in the dark of a winter at high
// latitudes that loss outgrows the gain. From April to September at 38° N the gain decides.
TEST(ProfileProperties, RisesWithRadiationInTheGrowingSeason) {
    Monthly<double> last = valley_eto(&PointClimate::rs_mj_m2_day, 0.3);
    for (double factor = 0.35; factor < 1.6; factor += 0.05) {
        const Monthly<double> now = valley_eto(&PointClimate::rs_mj_m2_day, factor);
        for (int month = 3; month < 9; ++month) ASSERT_GT(now[month], last[month]) << factor;
        last = now;
    }
}

// The air's own long-wave radiation works the other way, and in the hottest still air it wins.
TEST(ProfileProperties, RisesAsTheAirDries) {
    Monthly<double> last = valley_eto(&PointClimate::vapour_pressure_kpa, 1.0);
    for (double factor = 0.95; factor > 0.2; factor -= 0.05) {
        const Monthly<double> now = valley_eto(&PointClimate::vapour_pressure_kpa, factor);
        for (int month = 0; month < kMonths; ++month) ASSERT_GT(now[month], last[month]) << factor;
        last = now;
    }
}

TEST(ProfileProperties, ReachesBothPoles) {
    for (const double lat_deg : {-90.0, 90.0}) {
        PointClimate point = merrow_valley();
        point.position.lat_deg = lat_deg;
        point.rs_mj_m2_day = kUnknownYear;
        point.tmax_c.fill(-25.0);
        point.tmin_c.fill(-33.0);
        point.vapour_pressure_kpa.fill(0.03);
        const ReferenceEtProfile profile = random_profile_of(point);
        const int midwinter = lat_deg > 0.0 ? 11 : 5;
        for (int month = 0; month < kMonths; ++month) {
            EXPECT_TRUE(std::isfinite(profile.eto_mm_per_day[month]));
            EXPECT_GE(profile.eto_mm_per_day[month], 0.0);
        }
        EXPECT_LT(profile.eto_mm_per_day[midwinter], 0.3);
    }
}

TEST(ProfileProperties, ColdDarkStillMonthsGiveNothing) {
    PointClimate point;
    point.position = {78.0, 15.0};
    point.tmax_c.fill(-20.0);
    point.tmin_c.fill(-26.0);
    point.vapour_pressure_kpa.fill(0.08);
    point.u2_m_per_s.fill(0.5);
    point.sunshine_hours_per_day.fill(0.0);
    EXPECT_EQ(random_profile_of(point).eto_mm_per_day[11], 0.0);
}

TEST(ProfileProperties, IsContinuousInLatitudeAndElevation) {
    PointClimate point = merrow_valley();
    point.rs_mj_m2_day = kUnknownYear;
    point.sunshine_hours_per_day = kUnknownYear;
    for (double lat_deg = -89.9; lat_deg <= 89.9; lat_deg += 0.7) {
        point.position.lat_deg = lat_deg;
        const ReferenceEtProfile here = random_profile_of(point);
        point.position.lat_deg = lat_deg + 0.01;
        const ReferenceEtProfile near_by = random_profile_of(point);
        for (int month = 0; month < kMonths; ++month) {
            ASSERT_NEAR(here.eto_mm_per_day[month], near_by.eto_mm_per_day[month], 0.006)
                << lat_deg;
        }
    }
    point = merrow_valley();
    for (double elevation = -400.0; elevation < 5000.0; elevation += 100.0) {
        point.elevation_m = elevation;
        const ReferenceEtProfile here = random_profile_of(point);
        point.elevation_m = elevation + 1.0;
        const ReferenceEtProfile near_by = random_profile_of(point);
        for (int month = 0; month < kMonths; ++month) {
            ASSERT_NEAR(here.eto_mm_per_day[month], near_by.eto_mm_per_day[month], 0.001);
        }
    }
}

// A small change of weather makes a small change of ETo, the site correction included.
TEST(ProfileProperties, IsContinuousInWeather) {
    Dice dice(11);
    for (int trial = 0; trial < 500; ++trial) {
        const PointClimate point = random_climate(dice);
        bool near_threshold = false;
        for (int month = 0; month < kMonths; ++month) {
            const double tmean = (point.tmax_c[month] + point.tmin_c[month]) / 2.0;
            near_threshold = near_threshold || std::abs(tmean - 5.0) < 0.01;
        }
        if (near_threshold) continue;
        PointClimate other = point;
        for (int month = 0; month < kMonths; ++month) {
            other.tmax_c[month] += 1e-4;
            other.vapour_pressure_kpa[month] += 1e-5;
            other.rain_mm[month] += 1e-3;
        }
        const ReferenceEtProfile a = random_profile_of(point);
        const ReferenceEtProfile b = random_profile_of(other);
        for (int month = 0; month < kMonths; ++month) {
            ASSERT_NEAR(a.eto_mm_per_day[month], b.eto_mm_per_day[month], 0.01);
        }
    }
}

// The same climate half a year apart in the other hemisphere: what is left is the Earth's distance
// from the Sun (7 % of Ra between January and July) and the lengths of the months.
TEST(ProfileProperties, HemispheresMirror) {
    PointClimate north = merrow_valley();
    north.rs_mj_m2_day = north.sunshine_hours_per_day = kUnknownYear;
    PointClimate south = north;
    south.position.lat_deg = -north.position.lat_deg;
    const auto half_a_year_on = [](const Monthly<double>& year) {
        Monthly<double> shifted{};
        for (int month = 0; month < kMonths; ++month) {
            shifted[(month + 6) % kMonths] = year[month];
        }
        return shifted;
    };
    south.tmax_c = half_a_year_on(north.tmax_c);
    south.tmin_c = half_a_year_on(north.tmin_c);
    south.vapour_pressure_kpa = half_a_year_on(north.vapour_pressure_kpa);
    south.sunshine_fraction = half_a_year_on(north.sunshine_fraction);
    south.rain_mm = half_a_year_on(north.rain_mm);
    const ReferenceEtProfile n = random_profile_of(north);
    const ReferenceEtProfile s = random_profile_of(south);
    for (int month = 0; month < kMonths; ++month) {
        const double here = n.eto_mm_per_day[month];
        const double there = s.eto_mm_per_day[(month + 6) % kMonths];
        EXPECT_NEAR(there / here, 1.0, 0.09) << kMonthNames[month];
    }
}

}  // namespace
}  // namespace thirstline
