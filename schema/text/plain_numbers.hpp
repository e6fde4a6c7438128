// Numbers as in tables and options: an optional sign, digits, a decimal point. The same in every
// locale; no exponent, no hexadecimal, no nan or inf, nothing before or after.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

enum class LengthUnit { metre, foot };

[[nodiscard]] std::optional<double> plain_number(std::string_view text);

struct TypedElevation {
    std::int32_t m = 0;    ///< rounded to the whole metre, as answers use it
    double typed_m = 0.0;  ///< not rounded, so that 3000 ft can be shown as 3000 ft
};

/// Above sea level: "5280ft", "1609m" or a bare number. Errors (usage): anything except a number
/// from −1000 to 10000 m.
[[nodiscard]] Result<TypedElevation> parse_elevation(std::string_view text,
                                                     LengthUnit bare = LengthUnit::metre);

/// The same in metres, rounded to the whole metre.
[[nodiscard]] Result<std::int32_t> parse_elevation_m(std::string_view text,
                                                     LengthUnit bare = LengthUnit::metre);

}  // namespace thirstline
