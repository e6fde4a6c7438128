#include "schema/text/rounding.hpp"

#include <array>
#include <utility>

namespace thirstline {
namespace {

using Writer = char* (*)(char* at, std::int64_t scaled);

template <std::size_t... kDecimals>
constexpr std::array<Writer, sizeof...(kDecimals)> writers(std::index_sequence<kDecimals...>) {
    return {&write_scaled<static_cast<int>(kDecimals)>...};
}

/// Appends |scaled| / 10^decimals with exactly that many decimals.
void append_scaled(std::string& out, std::int64_t scaled, int decimals) {
    static constexpr auto kWriters = writers(std::make_index_sequence<kPowersOfTen.size()>());
    std::array<char, kLongestDecimal> text;
    char* const end = kWriters[static_cast<std::size_t>(decimals)](text.data(), scaled);
    out.append(text.data(), end);
}

}  // namespace

double rounded(double value, int decimals) {
    // Integer over power of ten, correctly rounded: the double nearest to this decimal.
    return static_cast<double>(rounded_to_integer(value, decimals)) /
           static_cast<double>(kPowersOfTen[static_cast<std::size_t>(decimals)]);
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
    std::array<char, kLongestDecimal> text;
    out.append(text.data(), write_degrees(text.data(), e7));
}

}  // namespace thirstline
