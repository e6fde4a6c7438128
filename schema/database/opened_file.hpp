// A database file, opened once: whatever takes its place under its name afterwards, all that read
// from it read the same file.
//
// Reading goes through `pread` by default: a file that is truncated or overwritten while it is open
// gives an error. A mapped file is a little quicker, but the system ends a process that reads a
// page that is gone (SIGBUS).
//
// Thread safety: may be used by several threads at once.
#pragma once

#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <ctime>
#include <memory>
#include <span>
#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

/// How the bytes of a file are fetched.
enum class FileAccess {
    read,    ///< by system calls: safe whatever happens to the file
    mapped,  ///< as memory: for files that nobody truncates while they are open
};

inline constexpr std::size_t kSqliteHeaderBytes = 100;
using SqliteHeader = std::array<std::uint8_t, kSqliteHeaderBytes>;

class OpenedFile {
  public:
    /// Errors: io for what is not there, cannot be read, or is not a regular file (a folder, a pipe
    /// or a device is never waited for); bad_database for a file shorter than SQLite's header.
    [[nodiscard]] static Result<std::shared_ptr<OpenedFile>> open(const std::string& path,
                                                                  FileAccess access);
    ~OpenedFile();
    OpenedFile(const OpenedFile&) = delete;
    OpenedFile& operator=(const OpenedFile&) = delete;

    [[nodiscard]] const std::string& path() const { return path_; }
    [[nodiscard]] std::int64_t bytes() const { return bytes_; }
    [[nodiscard]] const SqliteHeader& header() const { return header_; }

    /// Fills `to` from that offset on; how many bytes there were. What was read is as old as the
    /// file was when it was opened: -1 if it has changed since, or cannot be read.
    [[nodiscard]] std::int64_t read(std::int64_t offset, std::span<std::uint8_t> to);
    /// Mapped bytes; null where the file is not mapped, or does not hold so many.
    [[nodiscard]] const std::uint8_t* mapped(std::int64_t offset, std::int64_t count) const;

    /// Errors (io): the file's size, time of change or header is another than when it was opened.
    [[nodiscard]] Result<void> check_unchanged();
    /// Has a read, or check_unchanged, found a change?
    [[nodiscard]] bool was_changed() const { return was_changed_; }
    [[nodiscard]] Error changed_error() const;

    /// Is the path's file another one by now, or this one changed?
    [[nodiscard]] bool was_replaced() const;

  private:
    OpenedFile() = default;
    [[nodiscard]] bool is_as_opened() const;

    std::string path_;
    int descriptor_ = -1;
    std::int64_t bytes_ = 0;
    std::uint64_t device_ = 0, number_ = 0;  ///< which file it is
    std::timespec modified_{};
    SqliteHeader header_{};
    const std::uint8_t* map_ = nullptr;
    std::atomic<bool> was_changed_ = false;
};

}  // namespace thirstline
