// Radiation compared with the worked examples of FAO-56 (1998). Unless stated otherwise the values
// are second hand: read in independent implementations that quote them.
#include "builder/reference_et/radiation.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/solar_geometry.hpp"
#include "tests/support/sample_months.hpp"

namespace thirstline {
namespace {

constexpr double kRioLatDeg = -(22.0 + 54.0 / 60.0);

double rio_ra() {
    return extraterrestrial_radiation_mj_m2_day(kRioLatDeg, kFifteenthOfMay);
}

double rio_rs() {
    const double n = 220.0 / 31.0;
    return rs_from_sunshine_fraction(
        sunshine_fraction_of(n, daylight_hours(kRioLatDeg, kFifteenthOfMay)), rio_ra());
}

// Example 10.
TEST(Radiation, FromSunshine) {
    EXPECT_NEAR(rio_rs(), 14.5, 0.05);
}

// Examples 11 and 12.
TEST(Radiation, NetInRio) {
    const double rso = clear_sky_rs(0.0, rio_ra());
    EXPECT_NEAR(rso, 18.8, 0.05);
    const double rnl = net_longwave(25.1, 19.1, 2.1, rio_rs(), rso);
    EXPECT_NEAR(rnl, 3.5, 0.05);
    EXPECT_NEAR(net_radiation(net_shortwave(rio_rs()), rnl), 7.6, 0.06);
}

// Example 15: 15 July at Lyon.
TEST(Radiation, FromTemperatureRange) {
    const double ra = extraterrestrial_radiation_mj_m2_day(45.0 + 43.0 / 60.0, 196);
    EXPECT_NEAR(ra, 40.6, 0.06);
    EXPECT_NEAR(rs_from_temperature_range(26.6, 14.8, ra, kRangeCoefficientInland), 22.3, 0.05);
}

TEST(Radiation, RangeOfNothingGivesNothing) {
    EXPECT_EQ(rs_from_temperature_range(10.0, 10.0, 20.0, 0.16), 0.0);
    EXPECT_EQ(rs_from_temperature_range(10.0, 12.0, 20.0, 0.16), 0.0);
    EXPECT_TRUE(std::isnan(rs_from_temperature_range(kNan, 12.0, 20.0, 0.16)));
}

// FAO-24 (Doorenbos & Pruitt 1977), the table of cloudiness in tenths (from memory).
TEST(Radiation, CloudTable) {
    EXPECT_DOUBLE_EQ(sunshine_fraction_from_cloud(0.0), 0.95);
    EXPECT_DOUBLE_EQ(sunshine_fraction_from_cloud(0.5), 0.55);
    EXPECT_DOUBLE_EQ(sunshine_fraction_from_cloud(1.0), 0.0);
    EXPECT_NEAR(sunshine_fraction_from_cloud(0.85), 0.225, 1e-12);
    EXPECT_DOUBLE_EQ(sunshine_fraction_from_cloud(-0.2), 0.95);
    EXPECT_DOUBLE_EQ(sunshine_fraction_from_cloud(1.2), 0.0);
    EXPECT_NEAR(sunshine_fraction_from_cloud(std::nextafter(1.0, 0.0)), 0.0, 1e-12);
    EXPECT_TRUE(std::isnan(sunshine_fraction_from_cloud(kNan)));
}

// Means of Rs/Ra by cloud cover over an open grid, CRU CL 1.0 (1961–1990), where Ra exceeds 8.
TEST(Radiation, CloudRelationAgreesWithAnOpenGrid) {
    const struct {
        double cloud;
        double rs_over_ra;
    } bins[] = {{0.15, 0.718}, {0.25, 0.664}, {0.35, 0.616}, {0.45, 0.570},
                {0.55, 0.518}, {0.65, 0.463}, {0.75, 0.411}, {0.85, 0.328}};
    for (const auto& bin : bins) {
        EXPECT_NEAR(rs_from_cloud(bin.cloud, 1.0), bin.rs_over_ra, 0.06) << bin.cloud;
    }
}

TEST(Radiation, MoreCloudNeverGivesMoreLight) {
    double last = rs_from_cloud(0.0, 30.0);
    for (int i = 1; i <= 1000; ++i) {
        const double now = rs_from_cloud(i / 1000.0, 30.0);
        EXPECT_LT(now, last);
        EXPECT_LT(last - now, 0.05);
        last = now;
    }
}

TEST(Radiation, SunshineInPolarNightIsZero) {
    EXPECT_EQ(sunshine_fraction_of(0.0, 0.0), 0.0);
    EXPECT_TRUE(std::isnan(sunshine_fraction_of(kNan, 0.0)));
}

TEST(Radiation, RelativeShortwaveIsClampedAndDefinedInDarkness) {
    EXPECT_DOUBLE_EQ(relative_shortwave(1.0, 20.0), 0.3);
    EXPECT_DOUBLE_EQ(relative_shortwave(25.0, 20.0), 1.0);
    EXPECT_DOUBLE_EQ(relative_shortwave(10.0, 20.0), 0.5);
    EXPECT_DOUBLE_EQ(relative_shortwave(0.0, 0.0), kRelativeRadiationInDarkness);
}

// The hold acts on the long-wave term only: Rs above Rso still counts in full.
TEST(Radiation, RsItselfIsNotClamped) {
    EXPECT_DOUBLE_EQ(net_shortwave(25.0), 0.77 * 25.0);
    EXPECT_DOUBLE_EQ(net_longwave(20.0, 10.0, 1.0, 25.0, 20.0),
                     net_longwave(20.0, 10.0, 1.0, 20.0, 20.0));
}

TEST(Radiation, LongwaveIsFiniteInDarknessAndAtZeroVapour) {
    EXPECT_TRUE(std::isfinite(net_longwave(-40.0, -50.0, 0.0, 0.0, 0.0)));
    EXPECT_TRUE(std::isfinite(net_longwave(-40.0, -50.0, -0.1, 0.0, 0.0)));
}

}  // namespace
}  // namespace thirstline
