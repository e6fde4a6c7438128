// Small files written whole or not at all.
//
// Thread safety: several files may be written at once, each by one thread.
#pragma once

#include <string>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

/// To a temporary file beside it, which then takes its place. Errors: io.
[[nodiscard]] Result<void> write_whole_file(const std::string& path, std::string_view text);

}  // namespace thirstline
