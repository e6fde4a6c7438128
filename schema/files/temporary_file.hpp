// A file on its way to a target: it stands beside the target, under a name of its own, and is gone
// with its owner unless it has taken the target's place. It is locked: what a killed process left
// is known by its lock being free, and removed by the next that writes to the same target.
#pragma once

#include <cstdint>
#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

class TemporaryFile {
  public:
    /// A new, empty file. Errors: io where the target's folder does not let itself be written to,
    /// or for a target that is there and is not a regular file.
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
    /// Syncs it and puts it in the target's place. Errors: io; it is then still owned.
    [[nodiscard]] Result<void> replace(const std::string& target);
    void discard();

  private:
    void unlock();

    std::string path_;
    int lock_ = -1;  ///< the descriptor that holds it
};

}  // namespace thirstline
