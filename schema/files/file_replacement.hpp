// A finished file takes its target's place in one step, and only when its bytes are on the disk: so
// a target holds what it held before, or everything new. Only regular files are ever replaced.
#pragma once

#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

/// "`doing` failed: " and the operating system's reason of this moment (errno), as an io Error.
[[nodiscard]] Error system_error(const std::string& doing);

/// Brings a file's or folder's content onto the disk. Errors: io.
[[nodiscard]] Result<void> synced(const std::string& path);

/// The path of the file that is replaced where `target` is: itself, or what a symbolic link points
/// to, so that the link stays. It need not exist.
/// Errors: io for a folder, a device, a pipe or a socket.
[[nodiscard]] Result<std::string> replaced_path(const std::string& target);

/// Syncs `finished`, gives it the access rights of the regular file at `target`, if there is one,
/// renames it to replaced_path(target), and syncs their folder.
/// Errors: io; `finished` is then still where it was, unless only the folder could not be synced.
[[nodiscard]] Result<void> put_in_place(const std::string& finished, const std::string& target);

/// The ends of a name of what is on its way to a target: ".partial-4711", ".partial-4711-2".
[[nodiscard]] std::string partial_suffix(int attempt);

/// Locks what was just made on its way to a target. False if another process took it for a leftover
/// and removed it before. (Where a file system knows no locks, a leftover stays until somebody
/// deletes it.)
[[nodiscard]] bool keeps_partial(int descriptor);

/// Removes what processes that were killed have left of files and folders on their way to the
/// target: names with a partial_suffix whose lock nobody holds.
void remove_leftovers(const std::string& target);

}  // namespace thirstline
