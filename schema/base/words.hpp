// Lists of words, and functions of ASCII letters that are the same in every locale.
#pragma once

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <string>
#include <string_view>

#include "schema/base/calendar.hpp"

namespace thirstline {

/// Appends a word to "a, b".
inline void add_word(std::string& list, std::string_view word, std::string_view separator = ", ") {
    if (!list.empty()) list += separator;
    list += word;
}

/// "a, b, c" of anything convertible to a string_view.
template <class Words>
[[nodiscard]] std::string joined(const Words& words, std::string_view separator = ", ") {
    std::string list;
    for (const auto& word : words) add_word(list, word, separator);
    return list;
}

/// "a, b or c"
template <class Words>
[[nodiscard]] std::string joined_with_or(const Words& words) {
    std::string list;
    std::size_t left = std::size(words);
    for (const auto& word : words) add_word(list, word, --left == 0 ? " or " : ", ");
    return list;
}

/// "Jun, Jul, Sep"; empty for none.
template <class Predicate>
[[nodiscard]] std::string months_where(Predicate predicate) {
    std::string list;
    for (std::size_t month = 0; month < kMonths; ++month)
        if (predicate(month)) add_word(list, kMonthAbbreviations[month]);
    return list;
}

[[nodiscard]] constexpr char ascii_lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}
[[nodiscard]] constexpr char ascii_upper(char c) {
    return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
}
[[nodiscard]] constexpr bool is_ascii_alphanumeric(char c) {
    return (ascii_lower(c) >= 'a' && ascii_lower(c) <= 'z') || (c >= '0' && c <= '9');
}
[[nodiscard]] inline std::string ascii_lower(std::string_view text) {
    std::string out(text);
    std::transform(out.begin(), out.end(), out.begin(), [](char c) { return ascii_lower(c); });
    return out;
}

/// For messages: user input in double quotes, truncated if it is long.
[[nodiscard]] inline std::string in_quotes(std::string_view text, std::size_t longest = 80) {
    return "\"" + std::string(text.substr(0, longest)) + "\"";
}

/// ASCII letters and digits in lower case, and non-ASCII bytes unchanged; all else is dropped.
[[nodiscard]] inline std::string folded_name(std::string_view text) {
    std::string out;
    for (const char c : text)
        if (static_cast<unsigned char>(c) >= 0x80 || is_ascii_alphanumeric(c))
            out += ascii_lower(c);
    return out;
}

}  // namespace thirstline
