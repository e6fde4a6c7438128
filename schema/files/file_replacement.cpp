#include "schema/files/file_replacement.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>

namespace thirstline {

namespace {

constexpr std::string_view kPartial = ".partial-";

std::string folder_of(const std::string& path) {
    const std::string folder = std::filesystem::path(path).parent_path().string();
    return folder.empty() ? "." : folder;
}

bool is_partial_of(std::string_view name, std::string_view target_name) {
    if (!name.starts_with(target_name)) return false;
    name.remove_prefix(target_name.size());
    if (!name.starts_with(kPartial)) return false;
    name.remove_prefix(kPartial.size());
    return !name.empty() && name.find_first_not_of("0123456789-") == std::string_view::npos;
}

/// Removes it unless a running process holds its lock.
void remove_unless_locked(const std::filesystem::path& path) {
    const int descriptor = open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    if (descriptor < 0) return;
    if (flock(descriptor, LOCK_EX | LOCK_NB) == 0) {
        std::error_code ignored;
        std::filesystem::remove_all(path, ignored);
    }
    close(descriptor);
}

bool is_locked(const std::filesystem::path& path) {
    const int descriptor = open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    if (descriptor < 0) return false;
    const bool is_free = flock(descriptor, LOCK_EX | LOCK_NB) == 0;
    close(descriptor);
    return !is_free;
}

Error written_meanwhile(const std::string& target) {
    return {ErrorCode::io, target + " was written by another program in the meantime",
            "compare the two, or use --overwrite"};
}

/// Calls `take` with each partial file or folder of the target.
template <class Take>
void for_each_partial(const std::string& target, const Take& take) {
    const std::string name = std::filesystem::path(target).filename().string();
    std::error_code status;
    for (auto entry = std::filesystem::directory_iterator(folder_of(target), status);
         !status && entry != std::filesystem::directory_iterator(); entry.increment(status)) {
        if (is_partial_of(entry->path().filename().string(), name)) take(entry->path());
    }
}

}  // namespace

Error system_error(const std::string& doing) {
    return {ErrorCode::io, doing + " failed: " + std::strerror(errno), ""};
}

Result<void> synced(const std::string& path) {
    const int descriptor = open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (descriptor < 0) return fail(system_error("opening " + path));
    const int status = fsync(descriptor);
    // Some file systems cannot sync a folder and report EINVAL, which is ignored.
    const bool failed = status != 0 && errno != EINVAL;
    const Error error = failed ? system_error("syncing " + path) : Error{};
    close(descriptor);
    if (failed) return fail(error);
    return {};
}

Result<std::string> replaced_path(const std::string& target) {
    std::error_code status;
    std::filesystem::path resolved = target;
    if (std::error_code none; std::filesystem::is_symlink(target, none))
        resolved = std::filesystem::weakly_canonical(target, status);
    if (status) return fail(ErrorCode::io, "writing " + target + " failed: " + status.message());
    struct stat there {};
    if (stat(resolved.c_str(), &there) != 0 || S_ISREG(there.st_mode)) return resolved.string();
    return fail(ErrorCode::io,
                target + (S_ISDIR(there.st_mode) ? " is a folder" : " is not a regular file") +
                    ", and only regular files are replaced");
}

Result<void> put_in_place(const std::string& finished, const std::string& target) {
    const auto replaced = TRY(replaced_path(target));
    struct stat there {};
    if (stat(replaced.c_str(), &there) == 0 && chmod(finished.c_str(), there.st_mode & 07777) != 0)
        return fail(system_error("setting the permissions of " + target));
    TRY(synced(finished));
    if (std::rename(finished.c_str(), replaced.c_str()) != 0)
        return fail(system_error("putting " + target + " in its place"));
    return synced(folder_of(replaced));
}

Result<void> put_in_new_place(const std::string& finished, const std::string& target) {
    const auto place = TRY(replaced_path(target));
    TRY(synced(finished));
    if (link(finished.c_str(), place.c_str()) == 0) {
        unlink(finished.c_str());
        return synced(folder_of(place));
    }
    if (errno == EEXIST) return fail(written_meanwhile(target));
    // Some file systems have no hard links. A writer of the same moment could still be replaced.
    if (std::error_code ignored; std::filesystem::exists(place, ignored))
        return fail(written_meanwhile(target));
    return put_in_place(finished, target);
}

Result<void> refuse_second_writer(const std::string& target) {
    const auto replaced = TRY(replaced_path(target));
    const std::string own = std::filesystem::path(replaced + partial_suffix(0)).filename().string();
    bool is_written = false;
    for_each_partial(replaced, [&](const std::filesystem::path& partial) {
        const std::string name = partial.filename().string();
        const bool is_own = name == own || name.starts_with(own + "-");
        is_written = is_written || (!is_own && is_locked(partial));
    });
    if (!is_written) return {};
    return fail(ErrorCode::io, "another program is writing " + target,
                "wait until it has finished, or write to another file");
}

std::string partial_suffix(int attempt) {
    return std::string(kPartial) + std::to_string(getpid()) +
           (attempt == 0 ? "" : "-" + std::to_string(attempt));
}

bool keeps_partial(int descriptor) {
    if (flock(descriptor, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) return false;
    struct stat there {};
    return fstat(descriptor, &there) == 0 && there.st_nlink > 0;
}

void remove_leftovers(const std::string& target) {
    for_each_partial(target, remove_unless_locked);
}

}  // namespace thirstline
