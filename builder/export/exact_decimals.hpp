// Exact fractions as decimals, rounded half away from zero.
#pragma once

#include <cstdint>
#include <string>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// Appends numerator / denominator with exactly that many decimals (0 to 7); never "-0.0". The
/// denominator must be positive; numerator · 10^decimals must fit 62 bits.
void append_decimal(std::string& out, std::int64_t numerator, std::int64_t denominator,
                    int decimals);

/// The length of a month (0 to 11) in quarter days, the smallest unit in which all are whole.
[[nodiscard]] std::int64_t quarter_days(int month);

/// The fewest decimals that represent all whole multiples of 1/divisor, at most 4.
[[nodiscard]] int decimals_for(std::int32_t divisor);

/// Appends "latitude", `between` and "longitude" in degrees, without trailing zeros.
void append_position(std::string& out, LatLonE7 position, const char* between);

}  // namespace thirstline
