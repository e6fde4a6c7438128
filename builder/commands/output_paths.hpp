// Checks of output paths before any work is done.
#pragma once

#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

/// Errors (usage): no name, a folder, a device, a pipe, or without `overwrite` an existing file.
[[nodiscard]] Result<void> refuse_existing(const std::string& path, bool overwrite);

/// An output must not replace another output or an input; empty paths are ignored.
/// Errors (usage): both are the same file.
[[nodiscard]] Result<void> refuse_same_file(const std::string& output, const std::string& other);

}  // namespace thirstline
