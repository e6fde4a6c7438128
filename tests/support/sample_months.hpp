// Names used in many tests: months from 0, and NaN.
#pragma once

#include <limits>

namespace thirstline {

inline constexpr int kJanuary = 0;
inline constexpr int kApril = 3;
inline constexpr int kJuly = 6;
inline constexpr int kDecember = 11;
inline constexpr int kFifteenthOfMay = 135;  ///< day of the year
inline constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

}  // namespace thirstline
