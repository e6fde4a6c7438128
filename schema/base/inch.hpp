// The international inch.
#pragma once

namespace thirstline {

inline constexpr double kMmPerInch = 25.4;  ///< exact, by definition

}  // namespace thirstline
