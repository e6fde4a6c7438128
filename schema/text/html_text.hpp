// Texts of a page, safe whatever they hold.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

/// A text on one line that shows what it says and does nothing else: control characters and
/// separators of lines become blanks; bytes that are no UTF-8, and the characters that would turn
/// the direction of what follows them (U+202A … U+202E, U+2066 … U+2069), become U+FFFD.
[[nodiscard]] std::string plain_text(std::string_view text);

/// For text and quoted attributes: plain_text, with & < > " ' as references.
[[nodiscard]] std::string escaped(std::string_view text);

/// "<p class="note">…</p>", escaped; without a class if that is empty.
[[nodiscard]] std::string element(std::string_view name, std::string_view text,
                                  std::string_view css_class = {});

/// A bulleted list, escaped; nothing without items.
[[nodiscard]] std::string bulleted(const std::vector<std::string>& items);

}  // namespace thirstline
