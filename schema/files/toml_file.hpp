// Reads a file that a person wrote in TOML, for both programs: recipes and zone files.
#pragma once

// toml++ is used header-only, without exceptions.
#define TOML_HEADER_ONLY 1
#define TOML_EXCEPTIONS 0
#include <toml++/toml.h>

#include <string>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

/// Far more than a person writes; without limits a document could exhaust memory or stack.
inline constexpr std::size_t kMaxTomlBytes = std::size_t{4} << 20;
inline constexpr int kMaxTomlKeyParts = 16;
inline constexpr int kMaxTomlDepth = 32;  ///< nesting depth of brackets and braces

/// The document of a file; `what` names it in messages: "recipe". Errors: io for a file that does
/// not exist, a folder, or one that cannot be read to its end; bad_input, naming line and column,
/// for text that is not TOML or exceeds the limits above.
[[nodiscard]] Result<toml::table> read_toml_file(const std::string& path, std::string_view what);

}  // namespace thirstline
