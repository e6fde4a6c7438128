// Values that are not plausible for any climate on Earth: they are rejected in every source.
//
// The ranges are those of monthly means in the units of computation, wide enough to include all
// values ever recorded; the records that define them are given from memory.
#pragma once

#include <optional>
#include <string_view>

#include "builder/grids/variables_and_units.hpp"

namespace thirstline {

struct PlausibleRange {
    double least = 0.0;
    double greatest = 0.0;     ///< largest accepted value …
    double max_used = 0.0;     ///< … but a value above this is clamped to it
    std::string_view because;  ///< the record that defines the range
};
[[nodiscard]] const PlausibleRange& plausible_range(Variable variable);

enum class RejectionRule {
    outside_plausible_range,
    negative_wind,
    negative_rain,
    humidity_over_saturation,  ///< relative humidity over 105 %; 100 to 105 counts as 100
};
inline constexpr int kRejectionRules = 4;
/// Its name in the build report and the database, such as "negative wind".
[[nodiscard]] std::string_view rule_name(RejectionRule rule);

/// The rule by which a value in the unit of computation is rejected, or nothing if it is accepted.
/// Infinite values are outside every range; NaN is not a value and must not be passed.
[[nodiscard]] std::optional<RejectionRule> rejection_of(Variable variable, double value);

/// The same for the value of a single day; rain in mm.
[[nodiscard]] std::optional<RejectionRule> rejection_of_day(Variable variable, double value);

/// The same for the value of a single hour: tmean is its temperature; rain, ETo and sunshine are
/// its amounts, mm and hours; radiation is MJ/m2/day. Sensors give a little less than 0 at night.
[[nodiscard]] std::optional<RejectionRule> rejection_of_hour(Variable variable, double value);

/// An accepted value, clamped to at most `max_used`. One above the range, which a single day or
/// hour may have, is unchanged.
[[nodiscard]] double clamped_to_range(Variable variable, double value);

}  // namespace thirstline
