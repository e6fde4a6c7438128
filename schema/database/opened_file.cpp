#include "schema/database/opened_file.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace thirstline {

namespace {

/// The number of bytes read, fewer than requested at the end of the file; -1 on failure.
std::int64_t read_at(int descriptor, std::int64_t offset, std::span<std::uint8_t> to) {
    std::size_t got = 0;
    while (got < to.size()) {
        const ssize_t more = pread(descriptor, to.data() + got, to.size() - got,
                                   static_cast<off_t>(offset + static_cast<std::int64_t>(got)));
        if (more < 0 && errno == EINTR) continue;
        if (more < 0) return -1;
        if (more == 0) break;
        got += static_cast<std::size_t>(more);
    }
    return static_cast<std::int64_t>(got);
}

const char* kind_of(mode_t mode) {
    if (S_ISDIR(mode)) return "a folder";
    if (S_ISFIFO(mode)) return "a pipe";
    if (S_ISSOCK(mode)) return "a socket";
    return "a device";
}

}  // namespace

Result<std::shared_ptr<OpenedFile>> OpenedFile::open(const std::string& path, FileAccess access) {
    std::shared_ptr<OpenedFile> file(new OpenedFile());
    file->path_ = path;
    // Without O_NONBLOCK, opening a pipe would wait for a writer.
    file->descriptor_ = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
    if (file->descriptor_ < 0) {
        return fail(ErrorCode::io,
                    "cannot open the database " + path + ": " + std::strerror(errno));
    }
    struct stat status {};
    if (fstat(file->descriptor_, &status) != 0)
        return fail(ErrorCode::io, "cannot read the database " + path + ": " + strerror(errno));
    if (!S_ISREG(status.st_mode)) {
        return fail(ErrorCode::io, path + " is " + kind_of(status.st_mode) +
                                       ", and a database must be a regular file");
    }
    file->bytes_ = status.st_size;
    file->device_ = status.st_dev;
    file->number_ = status.st_ino;
    file->modified_ = status.st_mtim;
    const std::int64_t got = read_at(file->descriptor_, 0, file->header_);
    if (got < 0)
        return fail(ErrorCode::io, "cannot read the database " + path + ": " + strerror(errno));
    if (got < static_cast<std::int64_t>(file->header_.size()))
        return fail(ErrorCode::bad_database, path + " is not a Thirstline database");
    if (access == FileAccess::mapped) {
        void* map = mmap(nullptr, static_cast<std::size_t>(file->bytes_), PROT_READ, MAP_SHARED,
                         file->descriptor_, 0);
        // A file that cannot be mapped is read.
        if (map != MAP_FAILED) file->map_ = static_cast<const std::uint8_t*>(map);
    }
    return file;
}

OpenedFile::~OpenedFile() {
    if (map_ != nullptr) munmap(const_cast<std::uint8_t*>(map_), static_cast<std::size_t>(bytes_));
    if (descriptor_ >= 0) close(descriptor_);
}

bool OpenedFile::is_as_opened() const {
    struct stat now {};
    return fstat(descriptor_, &now) == 0 && now.st_size == bytes_ &&
           now.st_mtim.tv_sec == modified_.tv_sec && now.st_mtim.tv_nsec == modified_.tv_nsec;
}

std::int64_t OpenedFile::read(std::int64_t offset, std::span<std::uint8_t> to) {
    const std::int64_t got = read_at(descriptor_, offset, to);
    // Checked after reading: a writer sets the time before it writes.
    if (got < 0 || !is_as_opened()) {
        was_changed_ = was_changed_ || got >= 0;
        return -1;
    }
    return got;
}

const std::uint8_t* OpenedFile::mapped(std::int64_t offset, std::int64_t count) const {
    if (map_ == nullptr || offset < 0 || count < 0 || offset > bytes_ - count) return nullptr;
    return map_ + offset;
}

Result<void> OpenedFile::check_unchanged() {
    SqliteHeader now{};
    const bool same_header =
        read_at(descriptor_, 0, now) == static_cast<std::int64_t>(now.size()) && now == header_;
    if (!same_header || !is_as_opened()) was_changed_ = true;
    if (was_changed_) return fail(changed_error());
    return {};
}

Error OpenedFile::changed_error() const {
    return {ErrorCode::io, path_ + " was changed while it was open",
            "open it again; a new version is to be put in place by renaming a finished file"};
}

bool OpenedFile::was_replaced() const {
    struct stat now {};
    if (stat(path_.c_str(), &now) != 0) return false;
    return now.st_dev != device_ || now.st_ino != number_ || !is_as_opened();
}

}  // namespace thirstline
