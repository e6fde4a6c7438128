// Texts as JSON strings.
#pragma once

#include <string>
#include <string_view>

namespace thirstline {

/// U+FFFD in UTF-8, in the place of what is not valid.
inline constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

/// Appends the text in double quotes, escaped where JSON (RFC 8259) wants it and else as it is.
/// What is no UTF-8 becomes U+FFFD, one for each maximal part of a character as the Unicode
/// Standard counts them (chapter 3, "U+FFFD Substitution of Maximal Subparts").
void append_json_text(std::string& out, std::string_view text);

}  // namespace thirstline
