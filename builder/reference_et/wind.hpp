// Wind at 2 m. FAO Irrigation and Drainage Paper 56 (1998), chapter 3.
#pragma once

#include <cmath>

namespace thirstline {

/// Below this speed even still air is mixed by buoyancy, and instruments stall: FAO-56, chapter 4.
inline constexpr double kMinWindMPerS = 0.5;

/// The default of FAO-56 if nothing is known of the wind: the mean of some 2,000 stations.
inline constexpr double kWindOfLastResortMPerS = 2.0;

/// u2 from the wind at another height above short grass, by the logarithmic profile. FAO-56 eq. 47.
/// Height: more than 0.5 m (the profile is not valid near 0.09 m and below).
[[nodiscard]] inline double wind_at_two_metres_m_per_s(double wind_m_per_s, double height_m) {
    return wind_m_per_s * 4.87 / std::log(67.8 * height_m - 5.42);
}

/// Wind for the equation: at least 0.5 m/s. NaN stays NaN.
[[nodiscard]] inline double wind_for_equation_m_per_s(double u2_m_per_s) {
    return u2_m_per_s < kMinWindMPerS ? kMinWindMPerS : u2_m_per_s;
}

}  // namespace thirstline
