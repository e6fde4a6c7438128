// Text for a narrow screen.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

/// Columns that a text takes on the screen: its characters, not its bytes (UTF-8).
[[nodiscard]] std::size_t columns_of(std::string_view text);

/// The words of `text` in lines of at most `width` columns, each with a final line end, the first
/// after `first_indent`, the others after `later_indent`. A word longer than a line has one to
/// itself. Nothing for a text without words.
[[nodiscard]] std::string wrapped(std::string_view text, std::size_t width,
                                  std::string_view first_indent = {},
                                  std::string_view later_indent = {});

/// Each text wrapped, one below the other.
[[nodiscard]] std::string paragraphs(const std::vector<std::string>& texts, std::size_t width);

/// A heading and its items, "- " before each, and a blank line; nothing without items.
[[nodiscard]] std::string listed(std::string_view heading, const std::vector<std::string>& items,
                                 std::size_t width);

/// Blanks before (or after) the text up to `width` columns.
[[nodiscard]] std::string right_aligned(std::string_view text, std::size_t width);
[[nodiscard]] std::string left_aligned(std::string_view text, std::size_t width);

/// A bar of `share` (0 to 1, held there) of `width` columns, without blanks after it: in eighths of
/// a column by block characters, or in whole columns of '#'.
[[nodiscard]] std::string bar(double share, std::size_t width, bool utf8);

}  // namespace thirstline
