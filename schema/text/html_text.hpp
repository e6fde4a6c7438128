// Text for HTML pages, safe for any input.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

/// A text as one line without side effects: control characters and line separators become blanks;
/// bytes that are not UTF-8, and characters that change the direction of the text after them
/// (U+202A … U+202E, U+2066 … U+2069), become U+FFFD.
[[nodiscard]] std::string plain_text(std::string_view text);

/// For text and quoted attributes: plain_text, with & < > " ' as character references.
[[nodiscard]] std::string escaped(std::string_view text);

/// "<p class="note">…</p>", escaped; without a class if that is empty.
[[nodiscard]] std::string element(std::string_view name, std::string_view text,
                                  std::string_view css_class = {});

/// A bulleted list, escaped; empty without items.
[[nodiscard]] std::string bulleted(const std::vector<std::string>& items);

}  // namespace thirstline
