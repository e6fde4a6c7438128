// What is refused of an output before any work is done.
#pragma once

#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

/// Errors (usage): no name, a folder, a device, a pipe, or without `overwrite` something that is
/// there already.
[[nodiscard]] Result<void> refuse_existing(const std::string& path, bool overwrite);

/// No output may take the place of another, or of an input; empty paths are none.
/// Errors (usage): both are the same file.
[[nodiscard]] Result<void> refuse_same_file(const std::string& output, const std::string& other);

}  // namespace thirstline
