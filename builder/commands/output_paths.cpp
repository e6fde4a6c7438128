#include "builder/commands/output_paths.hpp"

#include <filesystem>

namespace thirstline {

Result<void> refuse_existing(const std::string& path, bool overwrite) {
    std::error_code ignored;
    if (path.empty()) return fail(ErrorCode::usage, "--output needs the name of a file");
    if (std::filesystem::is_directory(path, ignored))
        return fail(ErrorCode::usage, path + " is a folder, so it cannot be the output file");
    if (std::filesystem::exists(path, ignored) && !std::filesystem::is_regular_file(path, ignored))
        return fail(ErrorCode::usage,
                    path + " is not a regular file; only regular files are replaced");
    if (!overwrite && std::filesystem::exists(path, ignored)) {
        return fail(ErrorCode::usage, path + " already exists", "use --overwrite to replace it");
    }
    return {};
}

Result<void> refuse_same_file(const std::string& output, const std::string& other) {
    std::error_code ignored;
    const bool same = std::filesystem::weakly_canonical(output, ignored) ==
                      std::filesystem::weakly_canonical(other, ignored);
    if (!same || output.empty() || other.empty()) return {};
    return fail(ErrorCode::usage,
                output + " would be written over " + other + ": they are the same file");
}

}  // namespace thirstline
