#include "schema/geo/lat_lon.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

TEST(LatLon, LongitudeIsNormalisedInWholeNumbers) {
    EXPECT_EQ(normalised_lon_e7(0), 0);
    EXPECT_EQ(normalised_lon_e7(1'799'999'999), 1'799'999'999);
    EXPECT_EQ(normalised_lon_e7(1'800'000'000), -1'800'000'000);
    EXPECT_EQ(normalised_lon_e7(-1'800'000'000), -1'800'000'000);
    EXPECT_EQ(normalised_lon_e7(-1'800'000'001), 1'799'999'999);
    EXPECT_EQ(normalised_lon_e7(3'600'000'000 * 7 + 5), 5);
    EXPECT_EQ(normalised_lon_e7(-3'600'000'000 * 7 - 5), -5);
}

TEST(LatLon, LongitudeIsNormalisedInDegrees) {
    EXPECT_EQ(normalised_lon_deg(180.0), -180.0);
    EXPECT_EQ(normalised_lon_deg(-180.0), -180.0);
    EXPECT_EQ(normalised_lon_deg(190.0), -170.0);
    EXPECT_EQ(normalised_lon_deg(-541.0), 179.0);
    // So little west of the antimeridian that 360 more is 180 exactly: it must not come out as 180.
    const double just_west = std::nextafter(-180.0, -181.0);
    EXPECT_GE(normalised_lon_deg(just_west), -180.0);
    EXPECT_LT(normalised_lon_deg(just_west), 180.0);
}

TEST(LatLon, WholeE7AreRoundedHalfAwayFromZero) {
    EXPECT_EQ(to_e7({1.00000005, 2.00000004}), (LatLonE7{10'000'001, 20'000'000}));
    EXPECT_EQ(to_e7({-0.5e-7, -1.5e-7}), (LatLonE7{-1, -2}));
    EXPECT_EQ(to_e7({90.0, 180.0}), (LatLonE7{900'000'000, -1'800'000'000}));
    EXPECT_EQ(to_e7({-90.0, 179.99999999}), (LatLonE7{-900'000'000, -1'800'000'000}));
}

TEST(LatLon, DegreesAndBackIsTheSame) {
    constexpr std::uint32_t kSeed = 11;
    SCOPED_TRACE(kSeed);
    test::Random random(kSeed);
    for (int i = 0; i < 10'000; ++i) {
        const LatLonE7 position{
            static_cast<std::int32_t>(random.between(-900'000'000, 900'000'000)),
            static_cast<std::int32_t>(random.between(-1'800'000'000, 1'799'999'999))};
        EXPECT_EQ(to_e7(to_degrees(position)), position);
    }
}

TEST(LatLon, GreatCirclesOfKnownLength) {
    constexpr double kQuarterKm = std::numbers::pi / 2 * 6371.0088;  // of a sphere's circumference
    EXPECT_NEAR(great_circle_km({0, 0}, {90, 77}), kQuarterKm, 1e-9);
    EXPECT_NEAR(great_circle_km({0, -90}, {0, 180}), kQuarterKm, 1e-9);
    EXPECT_NEAR(great_circle_km({-90, 5}, {90, -120}), 2 * kQuarterKm, 1e-9);
    EXPECT_NEAR(great_circle_km({0, 0}, {0, 180}), 2 * kQuarterKm, 1e-9);
    EXPECT_NEAR(great_circle_km({0, 179.5}, {0, -179.5}), kQuarterKm / 90, 1e-9);
    EXPECT_EQ(great_circle_km({44.05, -123.09}, {44.05, -123.09}), 0.0);
    EXPECT_NEAR(great_circle_km({90, 0}, {90, 123}), 0.0, 1e-9);
}

/// The angle by cross and dot product, in long double: well-conditioned everywhere, and not the
/// haversine.
double angle_km(LatLon a, LatLon b) {
    const auto radians = [](double degrees) {
        return static_cast<long double>(degrees) * std::numbers::pi_v<long double> / 180.0L;
    };
    const long double dlon = radians(b.lon_deg) - radians(a.lon_deg);
    const long double sa = std::sin(radians(a.lat_deg)), ca = std::cos(radians(a.lat_deg));
    const long double sb = std::sin(radians(b.lat_deg)), cb = std::cos(radians(b.lat_deg));
    const long double across = std::hypot(cb * std::sin(dlon), ca * sb - sa * cb * std::cos(dlon));
    return static_cast<double>(6371.0088L * std::atan2(across, sa * sb + ca * cb * std::cos(dlon)));
}

TEST(LatLon, GreatCirclesAgreeWithAnotherFormula) {
    constexpr std::uint32_t kSeed = 12;
    SCOPED_TRACE(kSeed);
    test::Random random(kSeed);
    for (int i = 0; i < 10'000; ++i) {
        const LatLon a{static_cast<double>(random.between(-90'000, 90'000)) / 1000,
                       static_cast<double>(random.between(-180'000, 180'000)) / 1000};
        const LatLon b{static_cast<double>(random.between(-90'000, 90'000)) / 1000,
                       static_cast<double>(random.between(-180'000, 180'000)) / 1000};
        // The haversine loses figures towards the antipode: 1 cm of 20,000 km.
        EXPECT_NEAR(great_circle_km(a, b), angle_km(a, b), 1e-5);
    }
}

}  // namespace
}  // namespace thirstline
