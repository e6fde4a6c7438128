// A regular file, open for reading at any offset.
//
// The headers of this folder are all that the look-up asks of the operating system beyond the
// standard library; posix_platform.cpp and windows_platform.cpp implement them.
//
// Thread safety: an open file may be read by several threads at once.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

/// Tells one file from another, and whether it was written to in the meantime.
struct FileStamp {
    std::int64_t bytes = 0;
    std::uint64_t device = 0, number = 0;  ///< identify the file
    std::int64_t modified_s = 0, modified_ns = 0;
    friend bool operator==(const FileStamp&, const FileStamp&) = default;
};

class RegularFile {
  public:
    /// Never waits for a pipe or a device. The file may be replaced by renaming while it is open.
    /// `path` is UTF-8; `kind` is what errors call the file, such as "database". Errors (io): it
    /// cannot be opened, or is not a regular file.
    [[nodiscard]] static Result<RegularFile> open(const std::string& path, const std::string& kind);
    /// The open file behind a C descriptor, which still belongs to the caller and may be closed:
    /// reading does not use its position. Errors (io): it is not that of a regular file; `name` is
    /// what they call it.
    [[nodiscard]] static Result<RegularFile> of_descriptor(int descriptor, const std::string& name,
                                                           const std::string& kind);

    RegularFile(RegularFile&& other) noexcept;
    RegularFile& operator=(RegularFile&& other) noexcept;
    RegularFile(const RegularFile&) = delete;
    RegularFile& operator=(const RegularFile&) = delete;
    ~RegularFile();

    /// Empty if the system does not say.
    [[nodiscard]] std::optional<FileStamp> stamp() const;
    /// The number of bytes read, fewer than requested only at the file's end; -1 on failure.
    [[nodiscard]] std::int64_t read_at(std::int64_t offset, std::span<std::uint8_t> to) const;
    /// The first `bytes` of the file as memory, as long as this object lives; null if the system
    /// refuses.
    [[nodiscard]] const std::uint8_t* map(std::int64_t bytes);

  private:
    explicit RegularFile(std::intptr_t handle) : handle_(handle) {}
    void close();

    static constexpr std::intptr_t kNoHandle = -1;

    std::intptr_t handle_ = kNoHandle;  ///< the system's
    void* map_ = nullptr;
    std::int64_t mapped_bytes_ = 0;
};

/// Of the file that has that path now; empty if there is none.
[[nodiscard]] std::optional<FileStamp> file_stamp(const std::string& path);

}  // namespace thirstline
