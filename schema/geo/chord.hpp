// Distances in integers, the same on every processor: the Earth as a sphere, positions as unit
// vectors in 2^-30, distance as the chord between them. Accurate to 3 cm at short range and to
// 0.02 % at 400 km (a chord is slightly shorter than its arc); poles and antimeridian need no
// special case.
#pragma once

#include <cstdint>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {

inline constexpr std::int64_t kEarthRadiusM = 6'371'009;

struct UnitVectorQ30 {
    std::int32_t x = 0;  ///< −2^30 to 2^30; y and z too
    std::int32_t y = 0;
    std::int32_t z = 0;
};

/// Sine in 2^-30 of an angle in 1e-7 degrees. The angle is reduced to the first quadrant as
/// x = ⌊angle·2^30 / 9e8⌋, and sin(πx/2) is the Taylor polynomial up to x^11 in Horner form, each
/// product shifted right by 30 bits (rounded down). Error below 1e-7.
[[nodiscard]] std::int32_t sine_q30(std::int64_t angle_e7);

/// Cosine and sine of one angle, in 2^-30.
struct CosineAndSineQ30 {
    std::int32_t cosine = 0;
    std::int32_t sine = 0;
};
[[nodiscard]] CosineAndSineQ30 cosine_and_sine_q30(std::int64_t angle_e7);

/// From the cosine and sine of the latitude and of the longitude.
[[nodiscard]] inline UnitVectorQ30 unit_vector_q30(CosineAndSineQ30 lat, CosineAndSineQ30 lon) {
    const std::int64_t cos_lat = lat.cosine;
    return {static_cast<std::int32_t>((cos_lat * lon.cosine) >> 30),
            static_cast<std::int32_t>((cos_lat * lon.sine) >> 30), lat.sine};
}
[[nodiscard]] UnitVectorQ30 unit_vector_q30(LatLonE7 position);

/// Sum of the squared differences of the components: 0 to 2^62.
[[nodiscard]] inline std::int64_t squared_chord_q60(const UnitVectorQ30& a,
                                                    const UnitVectorQ30& b) {
    const std::int64_t dx = static_cast<std::int64_t>(a.x) - b.x;
    const std::int64_t dy = static_cast<std::int64_t>(a.y) - b.y;
    const std::int64_t dz = static_cast<std::int64_t>(a.z) - b.z;
    return dx * dx + dy * dy + dz * dz;
}

/// ⌊√squared⌋, the chord in 2^-30 of the Earth's radius: 0 to 2^31.
[[nodiscard]] std::int64_t chord_q30(std::int64_t squared_q60);

/// ⌊√squared⌋ · 6371009 / 2^30, rounded down: whole metres.
[[nodiscard]] std::int32_t metres_of_squared_chord(std::int64_t squared_q60);

}  // namespace thirstline
