// Texts as JSON strings.
#pragma once

#include <string>
#include <string_view>

#include "schema/text/utf8_text.hpp"

namespace thirstline {

/// Appends the text in double quotes, escaped where JSON (RFC 8259) wants it or a terminal must not
/// be sent it (is_terminal_control), and else as it is.
/// What is no UTF-8 becomes U+FFFD, one for each maximal part of a character as the Unicode
/// Standard counts them (chapter 3, "U+FFFD Substitution of Maximal Subparts").
void append_json_text(std::string& out, std::string_view text);

}  // namespace thirstline
