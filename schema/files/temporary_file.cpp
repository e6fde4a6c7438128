#include "schema/files/temporary_file.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <utility>

#include "schema/files/file_replacement.hpp"

namespace thirstline {

// Made by hand: SQLite's own message would not say why a file cannot be made.
Result<TemporaryFile> TemporaryFile::beside(const std::string& target) {
    const std::string stem = target + ".partial-" + std::to_string(getpid());
    // A killed process may have left its file, and its number may come round again.
    for (int attempt = 0; attempt < 100; ++attempt) {
        std::string path = attempt == 0 ? stem : stem + "-" + std::to_string(attempt);
        const int descriptor = open(path.c_str(), O_CREAT | O_EXCL | O_RDWR | O_CLOEXEC, 0644);
        if (descriptor >= 0) {
            close(descriptor);
            TemporaryFile file;
            file.path_ = std::move(path);
            return file;
        }
        if (errno != EEXIST) break;
    }
    return fail(system_error("writing " + target));
}

TemporaryFile::~TemporaryFile() {
    discard();
}

TemporaryFile::TemporaryFile(TemporaryFile&& other) noexcept
    : path_(std::exchange(other.path_, {})) {}

TemporaryFile& TemporaryFile::operator=(TemporaryFile&& other) noexcept {
    if (this != &other) {
        discard();
        path_ = std::exchange(other.path_, {});
    }
    return *this;
}

Result<std::int64_t> TemporaryFile::bytes() const {
    std::error_code status;
    const auto bytes = std::filesystem::file_size(path_, status);
    if (status)
        return fail(ErrorCode::io, "reading the size of " + path_ + " failed: " + status.message());
    return static_cast<std::int64_t>(bytes);
}

Result<void> TemporaryFile::replace(const std::string& target) {
    TRY(put_in_place(path_, target));
    path_.clear();
    return {};
}

void TemporaryFile::discard() {
    if (!path_.empty()) unlink(path_.c_str());
    path_.clear();
}

}  // namespace thirstline
