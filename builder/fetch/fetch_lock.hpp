// The lock file beside a recipe: address, size and SHA-256 of every file in its data folder, so
// that a build elsewhere or later uses the same bytes.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

struct LockedFile {
    std::string name;
    std::string url;  ///< empty for a file that was put there by hand
    std::int64_t bytes = 0;
    std::string sha256;  ///< 64 hexadecimal digits in lower case

    bool operator==(const LockedFile&) const = default;
};

struct FetchLock {
    std::vector<LockedFile> files;

    [[nodiscard]] const LockedFile* find(std::string_view name) const;
    void set(const LockedFile& file);
};

/// "a/merrow.lock" for "a/merrow.toml".
[[nodiscard]] std::string lock_path(const std::string& recipe_path);

/// Empty if there is no file. Errors: io; bad_input for a damaged one.
[[nodiscard]] Result<FetchLock> read_fetch_lock(const std::string& path);

/// Replaces the file in one step; files are sorted by name. Errors: io.
[[nodiscard]] Result<void> write_fetch_lock(const std::string& path, const FetchLock& lock);

/// Size and checksum of a file, as it would be locked. Errors: io.
[[nodiscard]] Result<LockedFile> measured_file(const std::string& path, const std::string& name,
                                               const std::string& url);

}  // namespace thirstline
