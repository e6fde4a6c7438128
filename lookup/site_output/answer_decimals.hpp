// The number of decimals of an answer about a site, in all machine-readable formats.
#pragma once

namespace thirstline {

inline constexpr int kMmDecimals = 1;
inline constexpr int kMmPerDayDecimals = 2;
inline constexpr int kCelsiusDecimals = 1;
inline constexpr int kPercentDecimals = 1;
inline constexpr int kMetreDecimals = 1;
inline constexpr int kKilometreDecimals = 3;
inline constexpr int kStepMmDecimals = 3;

}  // namespace thirstline
