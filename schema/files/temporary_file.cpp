#include "schema/files/temporary_file.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <utility>

#include "schema/files/file_replacement.hpp"

namespace thirstline {

// Not made by SQLite, whose message would not give the reason if the file cannot be created.
Result<TemporaryFile> TemporaryFile::beside(const std::string& target) {
    const auto replaced = TRY(replaced_path(target));
    remove_leftovers(replaced);
    // Remaining files are locked by running processes, possibly by another thread of this one.
    for (int attempt = 0; attempt < 100; ++attempt) {
        std::string path = replaced + partial_suffix(attempt);
        const int descriptor = open(path.c_str(), O_CREAT | O_EXCL | O_RDWR | O_CLOEXEC, 0644);
        if (descriptor >= 0) {
            if (!keeps_partial(descriptor)) {
                close(descriptor);
                continue;
            }
            TemporaryFile file;
            file.path_ = std::move(path);
            file.lock_ = descriptor;
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
    : path_(std::exchange(other.path_, {})), lock_(std::exchange(other.lock_, -1)) {}

TemporaryFile& TemporaryFile::operator=(TemporaryFile&& other) noexcept {
    if (this != &other) {
        discard();
        path_ = std::exchange(other.path_, {});
        lock_ = std::exchange(other.lock_, -1);
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
    unlock();
    return {};
}

Result<void> TemporaryFile::move_to_new(const std::string& target) {
    TRY(put_in_new_place(path_, target));
    path_.clear();
    unlock();
    return {};
}

void TemporaryFile::discard() {
    if (!path_.empty()) unlink(path_.c_str());
    path_.clear();
    unlock();
}

void TemporaryFile::unlock() {
    if (lock_ >= 0) close(std::exchange(lock_, -1));
}

}  // namespace thirstline
