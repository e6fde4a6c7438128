// Text wrapped to a given width.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

/// Width of a text in screen columns: its characters, not its bytes (UTF-8).
[[nodiscard]] std::size_t columns_of(std::string_view text);

/// The words of `text` in lines of at most `width` columns, each with a final line end. The first
/// line begins with `first_indent`, the others with `later_indent`. A word longer than a line is
/// alone on its line. Empty for a text without words.
[[nodiscard]] std::string wrapped(std::string_view text, std::size_t width,
                                  std::string_view first_indent = {},
                                  std::string_view later_indent = {});

/// Each text wrapped, one below the other.
[[nodiscard]] std::string paragraphs(const std::vector<std::string>& texts, std::size_t width);

/// A heading and its items, each after "- ", and a blank line; empty without items.
[[nodiscard]] std::string listed(std::string_view heading, const std::vector<std::string>& items,
                                 std::size_t width);

/// Pads the text with blanks on the left (or right) to `width` columns.
[[nodiscard]] std::string right_aligned(std::string_view text, std::size_t width);
[[nodiscard]] std::string left_aligned(std::string_view text, std::size_t width);

/// A bar of `share` (clamped to 0 … 1) of `width` columns, without trailing blanks: in eighths of a
/// column with block characters, or in whole columns of '#'.
[[nodiscard]] std::string bar(double share, std::size_t width, bool utf8);

}  // namespace thirstline
