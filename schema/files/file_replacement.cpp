#include "schema/files/file_replacement.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>

namespace thirstline {

namespace {

std::string folder_of(const std::string& path) {
    const std::string folder = std::filesystem::path(path).parent_path().string();
    return folder.empty() ? "." : folder;
}

}  // namespace

Error system_error(const std::string& doing) {
    return {ErrorCode::io, doing + " failed: " + std::strerror(errno), ""};
}

Result<void> synced(const std::string& path) {
    const int descriptor = open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (descriptor < 0) return fail(system_error("opening " + path));
    const int status = fsync(descriptor);
    // Some file systems cannot sync a folder and say EINVAL: there is nothing to do about it.
    const bool failed = status != 0 && errno != EINVAL;
    const Error error = failed ? system_error("syncing " + path) : Error{};
    close(descriptor);
    if (failed) return fail(error);
    return {};
}

Result<void> put_in_place(const std::string& finished, const std::string& target) {
    TRY(synced(finished));
    if (std::rename(finished.c_str(), target.c_str()) != 0)
        return fail(system_error("putting " + target + " in its place"));
    return synced(folder_of(target));
}

}  // namespace thirstline
