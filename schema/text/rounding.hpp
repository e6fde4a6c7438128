// Decimal rounding for output: half away from zero, and never "-0.0".
//
// Stored values are whole multiples of a decimal fraction, so true ties occur (0.695 mm/day to two
// places) although no binary double represents them. A value within 1e-7 of a last place from a tie
// counts as a tie. Answers from a file are multiples of 2.5e-7 or coarser, so no other value is
// affected.
#pragma once

#include <cmath>
#include <cstdint>
#include <string>

#include "schema/text/decimal_text.hpp"

namespace thirstline {

/// `value`, which must be finite and below 1e9 in magnitude, to 0 … 7 decimals.
[[nodiscard]] double rounded(double value, int decimals);

/// `value · 10^decimals` as an integer; the same limits.
[[nodiscard]] inline std::int64_t rounded_to_integer(double value, int decimals) {
    constexpr double kTieWidth = 1e-7;
    const double size =
        std::fabs(value) * static_cast<double>(kPowersOfTen[static_cast<std::size_t>(decimals)]);
    const auto whole = static_cast<std::int64_t>(size + 0.5 + kTieWidth);
    return value < 0 ? -whole : whole;
}

/// Appends the rounded value with exactly that many decimals: "21.40".
void append_fixed(std::string& out, double value, int decimals);
[[nodiscard]] std::string fixed(double value, int decimals);

/// Appends whole 1e-7 units in degrees without trailing zeros: "44.45", "-123".
void append_degrees(std::string& out, std::int32_t e7);

}  // namespace thirstline
