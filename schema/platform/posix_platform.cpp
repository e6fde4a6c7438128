// The platform layer for Linux and other POSIX systems.
#include <fcntl.h>
#include <sys/ioctl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <utility>

#include "schema/platform/byte_streams.hpp"
#include "schema/platform/process.hpp"
#include "schema/platform/regular_file.hpp"

namespace thirstline {
namespace {

const char* kind_of(mode_t mode) {
    if (S_ISDIR(mode)) return "a folder";
    if (S_ISFIFO(mode)) return "a pipe";
    if (S_ISSOCK(mode)) return "a socket";
    return "a device";
}

FileStamp stamp_of(const struct stat& status) {
    return {status.st_size, status.st_dev, status.st_ino, status.st_mtim.tv_sec,
            status.st_mtim.tv_nsec};
}

/// Empty for a regular file.
std::optional<Error> why_not_regular(int descriptor, const std::string& name,
                                     const std::string& kind) {
    struct stat status {};
    if (fstat(descriptor, &status) != 0) {
        return Error{ErrorCode::io,
                     "cannot read the " + kind + " " + name + ": " + std::strerror(errno), ""};
    }
    if (S_ISREG(status.st_mode)) return std::nullopt;
    return Error{
        ErrorCode::io,
        name + " is " + kind_of(status.st_mode) + ", and a " + kind + " must be a regular file",
        ""};
}

}  // namespace

Result<RegularFile> RegularFile::open(const std::string& path, const std::string& kind) {
    // Without O_NONBLOCK, opening a pipe would wait for a writer.
    const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
    if (descriptor < 0) {
        return fail(ErrorCode::io,
                    "cannot open the " + kind + " " + path + ": " + std::strerror(errno));
    }
    RegularFile file(descriptor);
    if (const auto error = why_not_regular(descriptor, path, kind)) return fail(*error);
    return file;
}

Result<RegularFile> RegularFile::of_descriptor(int descriptor, const std::string& name,
                                               const std::string& kind) {
    if (const auto error = why_not_regular(descriptor, name, kind)) return fail(*error);
    const int own = fcntl(descriptor, F_DUPFD_CLOEXEC, 0);
    if (own < 0)
        return fail(ErrorCode::io, "cannot open " + name + " again: " + std::strerror(errno));
    return RegularFile(own);
}

void RegularFile::close() {
    if (map_ != nullptr) munmap(map_, static_cast<std::size_t>(mapped_bytes_));
    if (handle_ != kNoHandle) ::close(static_cast<int>(handle_));
}

std::optional<FileStamp> RegularFile::stamp() const {
    struct stat now {};
    if (fstat(static_cast<int>(handle_), &now) != 0) return std::nullopt;
    return stamp_of(now);
}

std::int64_t RegularFile::read_at(std::int64_t offset, std::span<std::uint8_t> to) const {
    std::size_t got = 0;
    while (got < to.size()) {
        const ssize_t more = pread(static_cast<int>(handle_), to.data() + got, to.size() - got,
                                   static_cast<off_t>(offset + static_cast<std::int64_t>(got)));
        if (more < 0 && errno == EINTR) continue;
        if (more < 0) return -1;
        if (more == 0) break;
        got += static_cast<std::size_t>(more);
    }
    return static_cast<std::int64_t>(got);
}

const std::uint8_t* RegularFile::map(std::int64_t bytes) {
    void* map = mmap(nullptr, static_cast<std::size_t>(bytes), PROT_READ, MAP_SHARED,
                     static_cast<int>(handle_), 0);
    if (map == MAP_FAILED) return nullptr;
    map_ = map;
    mapped_bytes_ = bytes;
    return static_cast<const std::uint8_t*>(map);
}

std::optional<FileStamp> file_stamp(const std::string& path) {
    struct stat now {};
    if (stat(path.c_str(), &now) != 0) return std::nullopt;
    return stamp_of(now);
}

void InputStream::close() {
    if (descriptor_ > kStandardInput) ::close(descriptor_);
}

Result<InputStream> InputStream::open(const std::string& path) {
    const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (descriptor < 0)
        return fail(ErrorCode::io, path + " cannot be opened: " + std::strerror(errno));
    return InputStream(descriptor, path);
}

Result<std::size_t> InputStream::read(char* buffer, std::size_t capacity) {
    for (;;) {
        const ssize_t got = ::read(descriptor_, buffer, capacity);
        if (got >= 0) return static_cast<std::size_t>(got);
        if (errno == EINTR) continue;
        return fail(ErrorCode::io, name_ + " cannot be read: " + std::strerror(errno));
    }
}

Result<void> write_all(int descriptor, std::string_view bytes, const std::string& name) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0)
            return fail(ErrorCode::io, name + " cannot be written: " + std::strerror(errno));
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return {};
}

StandardStreams::StandardStreams() {
    std::signal(SIGPIPE, SIG_IGN);
}

StandardStreams::~StandardStreams() = default;

bool StandardStreams::has_output() const {
    return fcntl(STDOUT_FILENO, F_GETFD) != -1;
}

std::vector<std::string> program_arguments(int argc, const char* const* argv) {
    return {argv, argv + argc};
}

std::string environment_variable(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? "" : value;
}

UserLocale user_locale() {
    return {};
}

std::optional<std::size_t> terminal_columns() {
    winsize size{};
    if (isatty(STDOUT_FILENO) == 0 || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 ||
        size.ws_col == 0) {
        return std::nullopt;
    }
    return size.ws_col;
}

}  // namespace thirstline
