// UTF-8 of any origin, made valid: the one rule of the project for bytes that are not.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace thirstline {

/// U+FFFD in UTF-8, in the place of what is not valid: one for each maximal part of a character as
/// the Unicode Standard counts them (chapter 3, "U+FFFD Substitution of Maximal Subparts").
inline constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

/// A character's bytes, or the maximal part of one.
struct Utf8Sequence {
    std::size_t bytes = 1;
    bool is_whole = false;
    /// The character itself if it is whole.
    char32_t character = 0;
};

/// `at` is within the text.
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

/// Controls (C0, DEL, C1) and what changes the direction or the lines of the text around it, such
/// as U+202E: a name that holds them could hide or forge what a terminal shows.
[[nodiscard]] bool is_terminal_control(char32_t character);

/// `text` with U+FFFD in place of such characters, line ends apart, and of what is not UTF-8.
[[nodiscard]] std::string terminal_text(std::string_view text);

}  // namespace thirstline
