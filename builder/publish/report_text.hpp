// Formats numbers and small files for the report.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

/// "12,345".
[[nodiscard]] std::string counted_text(std::int64_t count);

/// With exactly that many decimals, a typographic minus sign and commas between thousands; never
/// "−0".
[[nodiscard]] std::string fixed_text(double value, int decimals);

/// "23 kB", "1.4 MB".
[[nodiscard]] std::string size_text(std::int64_t bytes);

/// A heading and its content.
[[nodiscard]] std::string section_html(std::string_view heading, const std::string& body);

/// A text of several lines, unchanged except for escaping.
[[nodiscard]] std::string preformatted(std::string_view text);

/// Errors: io if it cannot be read; bad_input if it is larger than 64 MB.
[[nodiscard]] Result<std::string> small_file_text(const std::string& path);

}  // namespace thirstline
