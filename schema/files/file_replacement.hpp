// A finished file takes its target's place in one step, and only when its bytes are on the disk: so
// a target holds what it held before, or everything new.
#pragma once

#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

/// "`doing` failed: " and the operating system's reason of this moment (errno), as an io Error.
[[nodiscard]] Error system_error(const std::string& doing);

/// Brings a file's or folder's content onto the disk. Errors: io.
[[nodiscard]] Result<void> synced(const std::string& path);

/// Syncs `finished`, renames it to `target`, which may exist, and syncs their folder.
/// Errors: io; `finished` is then still where it was, unless only the folder could not be synced.
[[nodiscard]] Result<void> put_in_place(const std::string& finished, const std::string& target);

}  // namespace thirstline
