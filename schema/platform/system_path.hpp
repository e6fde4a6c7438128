// Paths in the system's own form.
#pragma once

#include <filesystem>
#include <string>

namespace thirstline {

/// Of a path in UTF-8, for the standard library: on Windows its narrow strings are not UTF-8.
[[nodiscard]] inline std::filesystem::path system_path(const std::string& path) {
    return {std::u8string(path.begin(), path.end())};
}

}  // namespace thirstline
