// Numbers and small files as the report's text.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

/// "12,345".
[[nodiscard]] std::string counted_text(std::int64_t count);

/// With exactly that many decimals, a true minus sign and commas between thousands; never "−0".
[[nodiscard]] std::string fixed_text(double value, int decimals);

/// "23 kB", "1.4 MB".
[[nodiscard]] std::string size_text(std::int64_t bytes);

/// A heading and what belongs to it.
[[nodiscard]] std::string section_html(std::string_view heading, const std::string& body);

/// A text of several lines as it stands, escaped.
[[nodiscard]] std::string preformatted(std::string_view text);

/// Errors: io where it cannot be read; bad_input for one of more than 64 MB.
[[nodiscard]] Result<std::string> small_file_text(const std::string& path);

}  // namespace thirstline
