// What no climate on Earth has: the values that are left aside, whatever their source.
//
// The ranges are those of monthly means in the units of computation, drawn so wide that nothing
// that has been recorded lies outside; the records behind them are given from memory.
#pragma once

#include <optional>
#include <string_view>

#include "builder/grids/variables_and_units.hpp"

namespace thirstline {

struct PlausibleRange {
    double least = 0.0;
    double greatest = 0.0;     ///< still accepted …
    double held_to = 0.0;      ///< … but a value above this is taken as this
    std::string_view because;  ///< the record that sets the bounds
};
[[nodiscard]] const PlausibleRange& plausible_range(Variable variable);

enum class RejectionRule {
    outside_plausible_range,
    negative_wind,
    negative_rain,
    humidity_over_saturation,  ///< relative humidity over 105 %; 100 to 105 counts as 100
};
inline constexpr int kRejectionRules = 4;
/// As the build report and the database name it, such as "negative wind".
[[nodiscard]] std::string_view rule_name(RejectionRule rule);

/// The rule by which a value in the unit of computation is refused, or nothing if it stands.
/// Infinite values are outside every range; NaN is no value, and not for this function.
[[nodiscard]] std::optional<RejectionRule> rejection_of(Variable variable, double value);

/// An accepted value, brought down to `held_to` where it lies above.
[[nodiscard]] double held_within_range(Variable variable, double value);

}  // namespace thirstline
