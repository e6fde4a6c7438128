// Whole multiples of a decimal fraction as text, written into the caller's buffer.
#pragma once

#include <array>
#include <charconv>
#include <cstddef>
#include <cstdint>

namespace thirstline {

/// 10^0 to 10^7.
inline constexpr std::array<std::int64_t, 8> kPowersOfTen{1,      10,      100,       1'000,
                                                          10'000, 100'000, 1'000'000, 10'000'000};

/// More characters than any 64-bit integer needs with a sign and a point.
inline constexpr std::size_t kLongestDecimal = 24;

/// A number below 1000 without leading zeros.
struct SmallNumberText {
    std::array<char, 3> digits;
    std::uint8_t length;
};

consteval std::array<SmallNumberText, 1000> small_number_texts() {
    std::array<SmallNumberText, 1000> texts{};
    for (std::size_t number = 0; number < texts.size(); ++number) {
        SmallNumberText& text = texts[number];
        for (std::size_t place = number >= 100  ? 100
                                 : number >= 10 ? 10
                                                : 1;
             place > 0; place /= 10) {
            text.digits[text.length++] = static_cast<char>('0' + number / place % 10);
        }
    }
    return texts;
}

inline constexpr std::array<SmallNumberText, 1000> kSmallNumberTexts = small_number_texts();

/// Writes it at `at` and returns the end. Up to two characters beyond the end may be overwritten.
inline char* write_whole(char* at, std::uint64_t number) {
    // Most numbers of an answer are small: their text is copied, which is faster than dividing.
    if (number >= kSmallNumberTexts.size())
        return std::to_chars(at, at + kLongestDecimal, number).ptr;
    const SmallNumberText& text = kSmallNumberTexts[number];
    for (std::size_t i = 0; i < text.digits.size(); ++i) at[i] = text.digits[i];
    return at + text.length;
}

/// Writes `scaled` / 10^kDecimals with exactly that many decimals, at most kLongestDecimal
/// characters from `at` on, and returns the end.
template <int kDecimals>
char* write_scaled(char* at, std::int64_t scaled) {
    if (scaled < 0) *at++ = '-';
    const auto size = static_cast<std::uint64_t>(scaled < 0 ? -scaled : scaled);
    constexpr auto kOne = static_cast<std::uint64_t>(kPowersOfTen[kDecimals]);
    at = write_whole(at, size / kOne);
    if constexpr (kDecimals > 0) {
        *at++ = '.';
        auto rest = static_cast<std::uint32_t>(size % kOne);
        for (int place = kDecimals; place-- > 0; rest /= 10)
            at[place] = static_cast<char>('0' + rest % 10);
        at += kDecimals;
    }
    return at;
}

/// Writes whole 1e-7 units in degrees without trailing zeros, and returns the end.
inline char* write_degrees(char* at, std::int32_t e7) {
    char* end = write_scaled<7>(at, e7);
    while (end[-1] == '0') --end;
    return end[-1] == '.' ? end - 1 : end;
}

}  // namespace thirstline
