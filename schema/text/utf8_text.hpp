// The characters of a UTF-8 text, and those that a terminal must not be sent.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace thirstline {

/// U+FFFD, for what is not UTF-8.
inline constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

/// A character's bytes, or the longest beginning of one.
struct Utf8Sequence {
    std::size_t bytes = 1;
    bool is_whole = false;
};

/// At a byte of 0x80 or more. A character that is longer than it need be, a surrogate, or one
/// beyond U+10FFFF is not whole (Unicode Standard, table 3-7).
[[nodiscard]] Utf8Sequence utf8_sequence_at(std::string_view text, std::size_t at);

/// Of a whole sequence.
[[nodiscard]] char32_t utf8_character(std::string_view sequence);

/// Controls (C0, DEL, C1) and what changes the direction or the lines of the text around it, such
/// as U+202E: a name that holds them could hide or forge what a terminal shows.
[[nodiscard]] bool is_terminal_control(char32_t character);

/// `text` with U+FFFD in place of such characters, line ends apart, and of what is not UTF-8.
[[nodiscard]] std::string terminal_text(std::string_view text);

}  // namespace thirstline
