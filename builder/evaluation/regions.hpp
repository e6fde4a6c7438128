// The regions and distance classes of the scores.
//
// The United States are identified by the station's country; the other regions are boxes in
// latitude and longitude that contain most, but not all, of the named region:
//     Europe 36–72° N 25° W–45° E;  East Asia 18–55° N 100–150° E;  South America 57° S–13° N
//     82–34° W;  Africa 36° S–36° N 20° W–52° E without the east of 34° E north of 13° N.
#pragma once

#include <array>
#include <cstddef>
#include <string_view>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {

enum class Region { world, united_states, europe, east_asia, south_america, africa };
inline constexpr std::size_t kRegions = 6;
[[nodiscard]] std::string_view region_name(Region region);

/// A place without a country (a lattice point) is in the United States if it is within 24–50° N
/// 125–66° W.
[[nodiscard]] bool is_in(Region region, LatLon position, std::string_view country);

/// Letters and digits in lower case: "United_States" and "united states" are the same country.
[[nodiscard]] bool is_same_country(std::string_view a, std::string_view b);

/// By the distance to the nearest station that measures the variable and was not left out.
enum class DistanceClass {
    all,
    to_25_km,
    to_50_km,
    to_100_km,
    to_250_km,
    beyond_250_km,
    as_lattice,  ///< the mean of the classes, weighted by the number of lattice points in each
};
inline constexpr std::size_t kDistanceClasses = 7;
[[nodiscard]] std::string_view distance_class_name(DistanceClass distance);

/// One of the five from to_25_km to beyond_250_km.
[[nodiscard]] DistanceClass distance_class_of(double km);

}  // namespace thirstline
