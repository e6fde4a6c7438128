#include "builder/export/exact_decimals.hpp"

#include <cmath>

#include "schema/base/calendar.hpp"

namespace thirstline {

namespace {

constexpr int kE7Decimals = 7;
constexpr int kMaxDecimals = 4;

std::int64_t power_of_ten(int exponent) {
    std::int64_t power = 1;
    for (; exponent > 0; --exponent) power *= 10;
    return power;
}

void append_degrees(std::string& out, std::int32_t e7) {
    append_decimal(out, e7, kE7PerDegree, kE7Decimals);
    while (out.back() == '0') out.pop_back();
    if (out.back() == '.') out.pop_back();
}

}  // namespace

void append_decimal(std::string& out, std::int64_t numerator, std::int64_t denominator,
                    int decimals) {
    const std::int64_t one = power_of_ten(decimals);
    const std::int64_t size = numerator < 0 ? -numerator : numerator;
    const std::int64_t scaled = (2 * size * one + denominator) / (2 * denominator);
    if (numerator < 0 && scaled != 0) out += '-';
    out += std::to_string(scaled / one);
    if (decimals == 0) return;
    const std::string rest = std::to_string(scaled % one);
    out += '.';
    out.append(static_cast<std::size_t>(decimals) - rest.size(), '0');
    out += rest;
}

std::int64_t quarter_days(int month) {
    return std::lround(4.0 * kDaysInMonth[static_cast<std::size_t>(month)]);
}

int decimals_for(std::int32_t divisor) {
    int decimals = 0;
    while (decimals < kMaxDecimals && power_of_ten(decimals) % divisor != 0) ++decimals;
    return decimals;
}

void append_position(std::string& out, LatLonE7 position, const char* between) {
    append_degrees(out, position.lat_e7);
    out += between;
    append_degrees(out, position.lon_e7);
}

}  // namespace thirstline
