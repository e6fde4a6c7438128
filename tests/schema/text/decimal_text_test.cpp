// Compared with printf of the C library.
#include "schema/text/decimal_text.hpp"

#include <gtest/gtest.h>

#include <cstdio>
#include <cstdlib>
#include <limits>
#include <random>
#include <string>
#include <vector>

namespace thirstline {
namespace {

template <int kDecimals>
std::string written(std::int64_t scaled) {
    std::array<char, kLongestDecimal> text;
    return {text.data(), write_scaled<kDecimals>(text.data(), scaled)};
}

template <int kDecimals>
std::string printed(std::int64_t scaled) {
    const auto one = kPowersOfTen[kDecimals];
    std::array<char, 64> text{};
    std::snprintf(text.data(), text.size(), "%s%lld.%0*lld", scaled < 0 ? "-" : "",
                  static_cast<long long>(std::llabs(scaled / one)), kDecimals,
                  static_cast<long long>(std::llabs(scaled % one)));
    std::string out = text.data();
    return kDecimals > 0 ? out : out.substr(0, out.find('.'));
}

std::vector<std::int64_t> numbers_of_every_length() {
    std::vector<std::int64_t> numbers{std::numeric_limits<std::int64_t>::max(),
                                      -std::numeric_limits<std::int64_t>::max()};
    for (std::int64_t small = -20'000; small <= 20'000; ++small) numbers.push_back(small);
    std::mt19937_64 random(1);
    for (int bits = 1; bits < 64; ++bits) {
        for (int i = 0; i < 200; ++i) {
            const auto number = static_cast<std::int64_t>(random() >> (64 - bits));
            numbers.push_back(number);
            numbers.push_back(-number);
        }
    }
    return numbers;
}

TEST(DecimalText, IsWhatPrintfWrites) {
    for (const std::int64_t number : numbers_of_every_length()) {
        ASSERT_EQ(written<0>(number), printed<0>(number));
        ASSERT_EQ(written<1>(number), printed<1>(number));
        ASSERT_EQ(written<3>(number), printed<3>(number));
        ASSERT_EQ(written<7>(number), printed<7>(number));
    }
}

}  // namespace
}  // namespace thirstline
