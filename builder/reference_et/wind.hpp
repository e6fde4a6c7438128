// Wind at 2 m. FAO Irrigation and Drainage Paper 56 (1998), chapter 3.
#pragma once

#include <cmath>

namespace thirstline {

/// Below this even still air is mixed by buoyancy and instruments stall: FAO-56, chapter 4.
inline constexpr double kMinWindMPerS = 0.5;

/// What FAO-56 suggests where nothing is known of the wind: the mean of some 2,000 stations.
inline constexpr double kWindOfLastResortMPerS = 2.0;

/// u2 from a wind measured at another height above short grass, by the logarithmic profile.
/// FAO-56 eq. 47. Height: more than 0.5 m (the profile has no meaning near 0.09 m and below).
[[nodiscard]] inline double wind_at_two_metres_m_per_s(double wind_m_per_s, double height_m) {
    return wind_m_per_s * 4.87 / std::log(67.8 * height_m - 5.42);
}

/// Wind as the equation takes it: not below 0.5 m/s. A NaN stays one.
[[nodiscard]] inline double wind_for_equation_m_per_s(double u2_m_per_s) {
    return u2_m_per_s < kMinWindMPerS ? kMinWindMPerS : u2_m_per_s;
}

}  // namespace thirstline
