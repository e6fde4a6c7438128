#include "schema/geo/chord.hpp"

#include <initializer_list>

namespace thirstline {

namespace {

constexpr std::int64_t kRightAngleE7 = 90 * kE7PerDegree;

// Taylor coefficients of sin(πx/2) in 2^-30: (π/2)^k / k! with the series' signs.
constexpr std::int64_t kSine1 = 1'686'629'713;
constexpr std::int64_t kSine3 = -693'598'668;
constexpr std::int64_t kSine5 = 85'569'306;
constexpr std::int64_t kSine7 = -5'026'995;
constexpr std::int64_t kSine9 = 172'272;
constexpr std::int64_t kSine11 = -3'864;

}  // namespace

std::int64_t chord_q30(std::int64_t squared_q60) {
    // Unsigned: with a root of 2^31, that of a diameter, the next trial's square passes 2^63.
    std::uint64_t root = 0;
    for (std::uint64_t bit = std::uint64_t{1} << 31; bit != 0; bit >>= 1) {
        const std::uint64_t tried = root + bit;
        if (tried * tried <= static_cast<std::uint64_t>(squared_q60)) root = tried;
    }
    return static_cast<std::int64_t>(root);
}

std::int32_t sine_q30(std::int64_t angle_e7) {
    angle_e7 %= 4 * kRightAngleE7;
    if (angle_e7 < 0) return -sine_q30(-angle_e7);
    if (angle_e7 > 2 * kRightAngleE7) return -sine_q30(angle_e7 - 2 * kRightAngleE7);
    if (angle_e7 > kRightAngleE7) angle_e7 = 2 * kRightAngleE7 - angle_e7;
    const std::int64_t x = (angle_e7 << 30) / kRightAngleE7;
    const std::int64_t x2 = (x * x) >> 30;
    std::int64_t sum = kSine11;
    for (const std::int64_t coefficient : {kSine9, kSine7, kSine5, kSine3, kSine1}) {
        sum = coefficient + ((sum * x2) >> 30);
    }
    const std::int64_t sine = (sum * x) >> 30;
    return static_cast<std::int32_t>(sine < (1 << 30) ? sine : (1 << 30));
}

CosineAndSineQ30 cosine_and_sine_q30(std::int64_t angle_e7) {
    return {sine_q30(angle_e7 + kRightAngleE7), sine_q30(angle_e7)};
}

UnitVectorQ30 unit_vector_q30(LatLonE7 position) {
    return unit_vector_q30(cosine_and_sine_q30(position.lat_e7),
                           cosine_and_sine_q30(position.lon_e7));
}

std::int32_t metres_of_squared_chord(std::int64_t squared_q60) {
    return static_cast<std::int32_t>((chord_q30(squared_q60) * kEarthRadiusM) >> 30);
}

}  // namespace thirstline
