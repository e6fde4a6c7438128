#include "lookup/rounding.hpp"

#include <array>
#include <charconv>
#include <cmath>

namespace thirstline {
namespace {

constexpr std::array<std::int64_t, 8> kPowerOfTen{1,      10,      100,       1'000,
                                                  10'000, 100'000, 1'000'000, 10'000'000};
constexpr double kTieWidth = 1e-7;

std::int64_t power_of_ten(int decimals) {
    return kPowerOfTen[static_cast<std::size_t>(decimals)];
}

void append_integer(std::string& out, std::int64_t value) {
    std::array<char, 24> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr;
    out.append(digits.data(), end);
}

/// Appends |scaled| / 10^decimals with that many digits after the point.
void append_scaled(std::string& out, std::int64_t scaled, int decimals) {
    if (scaled < 0) out.push_back('-');
    const std::int64_t size = scaled < 0 ? -scaled : scaled;
    const std::int64_t one = power_of_ten(decimals);
    append_integer(out, size / one);
    if (decimals == 0) return;
    out.push_back('.');
    std::int64_t rest = size % one;
    for (std::int64_t place = one / 10; place > 0; place /= 10) {
        out.push_back(static_cast<char>('0' + rest / place));
        rest %= place;
    }
}

}  // namespace

std::int64_t rounded_to_integer(double value, int decimals) {
    const double size = std::fabs(value) * static_cast<double>(power_of_ten(decimals));
    const auto whole = static_cast<std::int64_t>(std::floor(size + 0.5 + kTieWidth));
    return value < 0 ? -whole : whole;
}

double rounded(double value, int decimals) {
    // Integer over power of ten, correctly rounded: the double that prints as this decimal.
    return static_cast<double>(rounded_to_integer(value, decimals)) /
           static_cast<double>(power_of_ten(decimals));
}

void append_fixed(std::string& out, double value, int decimals) {
    append_scaled(out, rounded_to_integer(value, decimals), decimals);
}

std::string fixed(double value, int decimals) {
    std::string out;
    append_fixed(out, value, decimals);
    return out;
}

void append_degrees(std::string& out, std::int32_t e7) {
    append_scaled(out, e7, 7);
    while (out.back() == '0') out.pop_back();
    if (out.back() == '.') out.pop_back();
}

}  // namespace thirstline
