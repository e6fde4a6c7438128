// Numbers as tables and options hold them: an optional sign, digits, a decimal point. The same in
// every locale; no exponent, no hexadecimal, no nan or inf, nothing before or after.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

[[nodiscard]] std::optional<double> plain_number(std::string_view text);

/// Metres above sea level, rounded to the whole metre.
/// Errors (usage): anything but a number from −1000 to 10000.
[[nodiscard]] Result<std::int32_t> parse_elevation_m(std::string_view text);

}  // namespace thirstline
