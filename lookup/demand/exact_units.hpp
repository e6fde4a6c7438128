// Customary units in SI, by definition of the international inch (25.4 mm) and the US gallon (231
// cubic inches). All values are exact.
#pragma once

#include "schema/base/inch.hpp"

namespace thirstline {

inline constexpr double kMetresPerFoot = 0.3048;
inline constexpr double kM2PerFt2 = kMetresPerFoot * kMetresPerFoot;
inline constexpr double kCm2PerIn2 = 2.54 * 2.54;
inline constexpr double kLitresPerGallon = 3.785411784;  ///< 231 in³ of 16.387064 ml
inline constexpr double kLitresPerThousandGallons = 1000.0 * kLitresPerGallon;
inline constexpr double kLitresPerHundredCubicFeet = 2831.6846592;  ///< 100 · 0.3048³ m³
inline constexpr double kLitresPerCubicMetre = 1000.0;
inline constexpr double kMinutesPerHour = 60.0;
inline constexpr double kDaysPerWeek = 7.0;

}  // namespace thirstline
