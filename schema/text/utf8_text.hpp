// Makes any bytes valid UTF-8: the project's only rule for invalid bytes.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace thirstline {

/// U+FFFD in UTF-8, which replaces invalid bytes: one for each maximal subpart of a character as
/// the Unicode Standard counts them (chapter 3, "U+FFFD Substitution of Maximal Subparts").
inline constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

/// A character's bytes, or a maximal subpart of one.
struct Utf8Sequence {
    std::size_t bytes = 1;
    bool is_whole = false;
    /// The character, if it is complete.
    char32_t character = 0;
};

/// `at` must be within the text.
[[nodiscard]] Utf8Sequence utf8_sequence_at(std::string_view text, std::size_t at);

/// Calls `take(character, bytes)` with each character and its bytes in valid UTF-8.
template <class Take>
void for_each_character(std::string_view text, const Take& take) {
    for (std::size_t at = 0; at < text.size();) {
        const Utf8Sequence sequence = utf8_sequence_at(text, at);
        if (sequence.is_whole)
            take(sequence.character, text.substr(at, sequence.bytes));
        else
            take(U'\uFFFD', kReplacement);
        at += sequence.bytes;
    }
}

/// Controls (C0, DEL, C1) and characters that change the direction or the lines of the surrounding
/// text, such as U+202E: a name that contains them could hide or forge what a terminal shows.
[[nodiscard]] bool is_terminal_control(char32_t character);

/// `text` with U+FFFD in place of such characters, except line ends, and of bytes that are not
/// UTF-8.
[[nodiscard]] std::string terminal_text(std::string_view text);

}  // namespace thirstline
