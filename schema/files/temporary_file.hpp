// A temporary file that will replace a target: it is in the target's folder, under its own name,
// and is removed with its owner unless it has replaced the target. It is locked: a file left by a
// killed process is recognised by its free lock, and removed by the next writer of the same target.
#pragma once

#include <cstdint>
#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

class TemporaryFile {
  public:
    /// A new, empty file. Errors: io if the target's folder cannot be written to, or for a target
    /// that exists and is not a regular file.
    [[nodiscard]] static Result<TemporaryFile> beside(const std::string& target);

    TemporaryFile() = default;  ///< owns no file
    ~TemporaryFile();
    TemporaryFile(TemporaryFile&& other) noexcept;
    TemporaryFile& operator=(TemporaryFile&& other) noexcept;
    TemporaryFile(const TemporaryFile&) = delete;
    TemporaryFile& operator=(const TemporaryFile&) = delete;

    [[nodiscard]] const std::string& path() const { return path_; }
    /// Errors: io.
    [[nodiscard]] Result<std::int64_t> bytes() const;
    /// Syncs it and moves it to the target. Errors: io; it is then still owned.
    [[nodiscard]] Result<void> replace(const std::string& target);
    /// The same for a target that must not exist. Errors (io): it exists, such as one that another
    /// program has written in the meantime.
    [[nodiscard]] Result<void> move_to_new(const std::string& target);
    void discard();

  private:
    void unlock();

    std::string path_;
    int lock_ = -1;  ///< the locked descriptor
};

}  // namespace thirstline
