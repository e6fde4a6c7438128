// A finished file replaces its target in one step, and only once its bytes are on the disk: a
// target has either its old content or all of the new. Only regular files are ever replaced.
#pragma once

#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

/// "`doing` failed: " and the operating system's current reason (errno), as an io Error.
[[nodiscard]] Error system_error(const std::string& doing);

/// Flushes a file's or folder's content to the disk. Errors: io.
[[nodiscard]] Result<void> synced(const std::string& path);

/// The path of the file to replace for `target`: itself, or the file that a symbolic link points
/// to, so that the link is kept. It need not exist. Errors: io for a folder, a device, a pipe or a
/// socket.
[[nodiscard]] Result<std::string> replaced_path(const std::string& target);

/// Syncs `finished`, gives it the permissions of the regular file at `target`, if there is one,
/// renames it to replaced_path(target), and syncs their folder. Errors: io; `finished` is then
/// still in its old place, unless only the folder could not be synced.
[[nodiscard]] Result<void> put_in_place(const std::string& finished, const std::string& target);

/// The same for a target that must not exist: of several programs that write it at the same time,
/// one succeeds. Errors: io if it exists.
[[nodiscard]] Result<void> put_in_new_place(const std::string& finished, const std::string& target);

/// Errors (io): another running process has a partial file for the target. (Two that start in the
/// same moment may not see each other: put_in_new_place decides.)
[[nodiscard]] Result<void> refuse_second_writer(const std::string& target);

/// The suffix of a partial file or folder's name: ".partial-4711", ".partial-4711-2".
[[nodiscard]] std::string partial_suffix(int attempt);

/// Locks a newly made partial file or folder. False if another process took it for a leftover and
/// removed it first. (On a file system without locks, leftovers stay until deleted by hand.)
[[nodiscard]] bool keeps_partial(int descriptor);

/// Removes partial files and folders left for the target by killed processes: names with a
/// partial_suffix whose lock is free.
void remove_leftovers(const std::string& target);

}  // namespace thirstline
