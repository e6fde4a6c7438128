// A database file, opened once: all its readers read the same file, even if another takes its name
// later.
//
// Reading uses `pread` by default: a file that is truncated or overwritten while it is open gives
// an error. A mapped file is slightly faster, but the system terminates a process that reads a
// missing page (SIGBUS).
//
// The bytes may also be a part of another file, or be in memory.
//
// Thread safety: may be used by several threads at once.
#pragma once

#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "schema/base/result.hpp"
#include "schema/platform/regular_file.hpp"

namespace thirstline {

/// How the bytes of a file are fetched.
enum class FileAccess {
    read,    ///< with system calls: safe even if the file changes
    mapped,  ///< as memory: for files that are never truncated while they are open
};

inline constexpr std::size_t kSqliteHeaderBytes = 100;
using SqliteHeader = std::array<std::uint8_t, kSqliteHeaderBytes>;

class OpenedFile {
  public:
    /// Errors: io if it does not exist, cannot be read, or is not a regular file (never waits for a
    /// folder, pipe or device); bad_database for a file shorter than SQLite's header.
    [[nodiscard]] static Result<std::shared_ptr<OpenedFile>> open(const std::string& path,
                                                                  FileAccess access);
    /// The `bytes` from `offset` on of an open file, up to its end if `bytes` is 0. The descriptor
    /// still belongs to the caller. Errors: those of `open`; usage for a part outside the file.
    [[nodiscard]] static Result<std::shared_ptr<OpenedFile>> of_descriptor(int descriptor,
                                                                           std::int64_t offset,
                                                                           std::int64_t bytes);
    /// A whole file in memory, which must stay valid and unchanged. Errors: bad_database if it is
    /// shorter than SQLite's header.
    [[nodiscard]] static Result<std::shared_ptr<OpenedFile>> in_memory(
        std::span<const std::uint8_t> bytes);
    OpenedFile(const OpenedFile&) = delete;
    OpenedFile& operator=(const OpenedFile&) = delete;

    /// What errors call it: its path, if it was opened by one.
    [[nodiscard]] const std::string& path() const { return path_; }
    [[nodiscard]] std::int64_t bytes() const { return bytes_; }
    [[nodiscard]] const SqliteHeader& header() const { return header_; }

    /// Fills `to` from that offset on and returns the number of bytes read. The bytes are those of
    /// the file as it was when it was opened: -1 if it has changed since, or cannot be read.
    [[nodiscard]] std::int64_t read(std::int64_t offset, std::span<std::uint8_t> to);
    /// Mapped bytes; null if the file is not mapped or is shorter.
    [[nodiscard]] const std::uint8_t* mapped(std::int64_t offset, std::int64_t count) const;

    /// Errors (io): the file's size, modification time or header differs from when it was opened.
    [[nodiscard]] Result<void> check_unchanged();
    /// Whether a read, or check_unchanged, has found a change.
    [[nodiscard]] bool was_changed() const { return was_changed_; }
    [[nodiscard]] Error changed_error() const;

    /// Whether the path now names another file, or this file has changed.
    [[nodiscard]] bool was_replaced() const;

  private:
    explicit OpenedFile(std::string path) : path_(std::move(path)) {}
    /// Takes the file over, from `offset` on, and reads the header.
    [[nodiscard]] Result<void> begin(RegularFile file, std::int64_t offset, std::int64_t bytes);
    [[nodiscard]] Result<void> read_header();
    [[nodiscard]] std::int64_t read_now(std::int64_t offset, std::span<std::uint8_t> to) const;
    [[nodiscard]] bool is_as_opened() const;

    std::string path_;
    std::optional<RegularFile> file_;  ///< empty if the bytes are in memory
    std::int64_t start_ = 0;           ///< in the file, of the first byte
    FileStamp stamp_;
    std::int64_t bytes_ = 0;
    SqliteHeader header_{};
    const std::uint8_t* map_ = nullptr;
    std::atomic<bool> was_changed_ = false;
};

}  // namespace thirstline
