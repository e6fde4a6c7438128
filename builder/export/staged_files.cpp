#include "builder/export/staged_files.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>

#include "schema/files/file_replacement.hpp"

namespace thirstline {

Result<StagedFiles> StagedFiles::beside(const std::string& target) {
    const std::string stem = target + ".partial-" + std::to_string(getpid());
    // A killed process may have left its folder, and its number may come round again.
    for (int attempt = 0; attempt < 100; ++attempt) {
        std::string folder = attempt == 0 ? stem : stem + "-" + std::to_string(attempt);
        if (mkdir(folder.c_str(), 0777) == 0) return StagedFiles(std::move(folder));
        if (errno != EEXIST) break;
    }
    return fail(system_error("writing " + target));
}

StagedFiles::~StagedFiles() {
    if (folder_.empty()) return;
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
}

Result<void> StagedFiles::place(const std::string& name, const std::string& target) const {
    return put_in_place(path(name), target);
}

Result<TextFile> TextFile::create(const std::string& path, std::string name) {
    std::FILE* file = std::fopen(path.c_str(), "wb");
    if (file == nullptr) return fail(system_error("writing " + name));
    return TextFile(file, std::move(name));
}

TextFile::TextFile(TextFile&& other) noexcept
    : file_(std::exchange(other.file_, nullptr)), name_(std::move(other.name_)) {}

TextFile::~TextFile() {
    if (file_ != nullptr) std::fclose(file_);
}

Result<void> TextFile::write(std::string_view text) {
    if (text.empty()) return {};  // whose data may be a null pointer
    if (std::fwrite(text.data(), 1, text.size(), file_) == text.size()) return {};
    return fail(system_error("writing " + name_));
}

Result<void> TextFile::finish() {
    std::FILE* file = std::exchange(file_, nullptr);
    if (std::fclose(file) != 0) return fail(system_error("writing " + name_));
    return {};
}

}  // namespace thirstline
