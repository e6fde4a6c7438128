// Texts as JSON strings.
#pragma once

#include <string>
#include <string_view>

namespace thirstline {

/// Appends the text in double quotes, escaped where JSON (RFC 8259) wants it or a terminal must not
/// be sent it (is_terminal_control), and else as it is.
/// What is not UTF-8 becomes U+FFFD (utf8_text.hpp).
void append_json_text(std::string& out, std::string_view text);

}  // namespace thirstline
