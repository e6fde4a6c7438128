// Texts as JSON strings.
#pragma once

#include <string>
#include <string_view>

namespace thirstline {

/// Appends the text in double quotes. Characters are escaped only where JSON (RFC 8259) requires it
/// or a terminal must not receive them (is_terminal_control). Bytes that are not UTF-8 become
/// U+FFFD (utf8_text.hpp).
void append_json_text(std::string& out, std::string_view text);

}  // namespace thirstline
