// Texts of a page, safe whatever they hold.
//
// Thread safety: pure functions.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

/// For text and quoted attributes: & < > " ' become references, control characters blanks, and
/// bytes that are no UTF-8 U+FFFD.
[[nodiscard]] std::string escaped(std::string_view text);

/// "<p class="note">…</p>", escaped; without a class if that is empty.
[[nodiscard]] std::string element(std::string_view name, std::string_view text,
                                  std::string_view css_class = {});

/// A bulleted list, escaped; nothing without items.
[[nodiscard]] std::string bulleted(const std::vector<std::string>& items);

}  // namespace thirstline
