#include "schema/geo/chord.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

constexpr double kOneInChordUnits = 1 << 30;

TEST(Sine, HoldsAtTheQuarters) {
    EXPECT_EQ(sine_q30(0), 0);
    EXPECT_EQ(sine_q30(1'800'000'000), 0);
    EXPECT_EQ(sine_q30(-1'800'000'000), 0);
    EXPECT_EQ(sine_q30(3'600'000'000), 0);
    EXPECT_NEAR(sine_q30(900'000'000), kOneInChordUnits, 1e-7 * kOneInChordUnits);
    EXPECT_EQ(sine_q30(-900'000'000), -sine_q30(900'000'000));
    EXPECT_EQ(sine_q30(2'700'000'000), -sine_q30(900'000'000));
}

TEST(Sine, IsWithinOneTenMillionthOfTheRealSine) {
    double worst = 0.0;
    for (std::int64_t angle = -3'600'000'000; angle <= 3'600'000'000; angle += 7'654'321) {
        const long double exact = std::sin(static_cast<long double>(angle) / 1e7L *
                                           std::numbers::pi_v<long double> / 180);
        worst =
            std::max(worst, std::abs(static_cast<double>(sine_q30(angle) / 1073741824.0L - exact)));
        EXPECT_EQ(sine_q30(-angle), -sine_q30(angle)) << angle;
    }
    EXPECT_LT(worst, 1e-7);
    RecordProperty("worst_error", std::to_string(worst));
}

TEST(Chord, SquareRootsAreRoundedDown) {
    EXPECT_EQ(chord_q30(0), 0);
    EXPECT_EQ(chord_q30(1), 1);
    EXPECT_EQ(chord_q30(3), 1);
    EXPECT_EQ(chord_q30(4), 2);
    constexpr std::int64_t kDiameter = std::int64_t{1} << 31;
    EXPECT_EQ(chord_q30(kDiameter * kDiameter), kDiameter);
    EXPECT_EQ(chord_q30(kDiameter * kDiameter - 1), kDiameter - 1);
    constexpr std::uint32_t kSeed = 21;
    SCOPED_TRACE(kSeed);
    test::Random random(kSeed);
    for (int i = 0; i < 10'000; ++i) {
        const std::int64_t value = random.between(0, std::int64_t{1} << random.between(0, 62));
        const std::int64_t root = chord_q30(value);
        EXPECT_LE(root * root, value);
        EXPECT_GT((root + 1) * (root + 1), value);
    }
}

std::int32_t metres_between(LatLonE7 a, LatLonE7 b) {
    return metres_of_squared_chord(squared_chord_q60(unit_vector_q30(a), unit_vector_q30(b)));
}

/// The chord between two positions on a sphere of radius 6371009 m, in long double.
double exact_chord_m(LatLonE7 a, LatLonE7 b) {
    const auto vector = [](LatLonE7 position) {
        const long double rad = std::numbers::pi_v<long double> / 180e7L;
        const long double lat = position.lat_e7 * rad, lon = position.lon_e7 * rad;
        return std::array{std::cos(lat) * std::cos(lon), std::cos(lat) * std::sin(lon),
                          std::sin(lat)};
    };
    const auto u = vector(a), v = vector(b);
    return static_cast<double>(6'371'009.0L * std::hypot(u[0] - v[0], u[1] - v[1], u[2] - v[2]));
}

TEST(Chord, AgreesAtThePolesAndTheAntimeridian) {
    EXPECT_EQ(metres_between({900'000'000, 0}, {900'000'000, 1'234'567'890}), 0);
    EXPECT_EQ(metres_between({-900'000'000, -1'800'000'000}, {-900'000'000, 5}), 0);
    EXPECT_NEAR(metres_between({900'000'000, 0}, {-900'000'000, 0}), 2 * 6'371'009, 2);
    EXPECT_NEAR(metres_between({0, -900'000'000}, {0, 900'000'000}), 2 * 6'371'009, 2);
    EXPECT_LE(metres_between({450'000'000, 1'799'999'999}, {450'000'000, -1'800'000'000}), 1);
    // One degree of longitude on the equator, across the antimeridian: 111.195 km.
    EXPECT_NEAR(metres_between({0, 1'795'000'000}, {0, -1'795'000'000}), 111'194, 1);
    EXPECT_NEAR(metres_between({890'000'000, 0}, {890'000'000, -1'800'000'000}), 222'379, 2);
}

TEST(Chord, AgreesWithExactChordsAndWithGreatCircles) {
    constexpr std::uint32_t kSeed = 22;
    SCOPED_TRACE(kSeed);
    test::Random random(kSeed);
    for (int i = 0; i < 20'000; ++i) {
        const LatLonE7 a{static_cast<std::int32_t>(random.between(-900'000'000, 900'000'000)),
                         static_cast<std::int32_t>(random.between(-1'800'000'000, 1'799'999'999))};
        // Near and far alike: anything up to 10^0 … 10^9 of 1e-7 degree away.
        const auto spread =
            static_cast<std::int64_t>(std::pow(10.0, static_cast<double>(random.between(0, 9))));
        const LatLonE7 b{
            static_cast<std::int32_t>(std::clamp<std::int64_t>(
                a.lat_e7 + random.between(-spread, spread), -900'000'000, 900'000'000)),
            normalised_lon_e7(a.lon_e7 + random.between(-spread, spread))};
        const double exact_m = exact_chord_m(a, b);
        // Rounded down to whole metres, and up to 1 m of the vectors' own rounding.
        EXPECT_NEAR(metres_between(a, b) + 0.5, exact_m, 1.0 + exact_m * 1e-7)
            << a.lat_e7 << "," << a.lon_e7 << " " << b.lat_e7 << "," << b.lon_e7;
        const double arc_m = 1000 * great_circle_km(to_degrees(a), to_degrees(b));
        if (arc_m < 400'000) {
            EXPECT_NEAR(metres_between(a, b), arc_m, 2.0 + arc_m * 2e-4);
        }
    }
}

TEST(Chord, IsTheSameBothWays) {
    const LatLonE7 a{441'000'000, -1'230'900'000}, b{445'000'000, -1'229'000'000};
    EXPECT_EQ(metres_between(a, b), metres_between(b, a));
    EXPECT_EQ(metres_between(a, a), 0);
}

}  // namespace
}  // namespace thirstline
