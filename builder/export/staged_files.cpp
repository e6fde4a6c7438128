#include "builder/export/staged_files.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>

#include "schema/files/file_replacement.hpp"

namespace thirstline {

Result<StagedFiles> StagedFiles::beside(const std::string& target) {
    // The target of a published site is a folder.
    std::error_code ignored;
    std::string replaced = target;
    if (!std::filesystem::is_directory(target, ignored)) replaced = TRY(replaced_path(target));
    remove_leftovers(replaced);
    for (int attempt = 0; attempt < 100; ++attempt) {
        std::string folder = replaced + partial_suffix(attempt);
        if (mkdir(folder.c_str(), 0777) == 0) {
            const int lock = open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
            if (lock < 0) return fail(system_error("writing " + target));
            if (!keeps_partial(lock)) {
                close(lock);
                continue;
            }
            return StagedFiles(std::move(folder), lock);
        }
        if (errno != EEXIST) break;
    }
    return fail(system_error("writing " + target));
}

StagedFiles::~StagedFiles() {
    if (folder_.empty()) return;
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
    if (lock_ >= 0) close(lock_);
}

Result<void> StagedFiles::place(const std::string& name, const std::string& target) const {
    return put_in_place(path(name), target);
}

Result<void> StagedFiles::place_both(const std::string& name, const std::string& target,
                                     const std::string& side_name,
                                     const std::string& side_target) const {
    TRY(synced(path(name)));
    TRY(synced(path(side_name)));
    const auto side = TRY(replaced_path(side_target));
    const std::string kept = path("replaced-" + side_name);
    struct stat there {};
    const bool was_there = stat(side.c_str(), &there) == 0;
    if (was_there && std::rename(side.c_str(), kept.c_str()) != 0)
        return fail(system_error("replacing " + side_target));
    auto placed = place(name, target);
    if (!placed) {
        if (was_there) static_cast<void>(std::rename(kept.c_str(), side.c_str()));
        return placed;
    }
    if (was_there && chmod(path(side_name).c_str(), there.st_mode & 07777) != 0)
        return fail(system_error("setting the permissions of " + side_target));
    return place(side_name, side_target);
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
    if (text.empty()) return {};  // its data may be a null pointer
    if (std::fwrite(text.data(), 1, text.size(), file_) == text.size()) return {};
    return fail(system_error("writing " + name_));
}

Result<void> TextFile::finish() {
    std::FILE* file = std::exchange(file_, nullptr);
    if (std::fclose(file) != 0) return fail(system_error("writing " + name_));
    return {};
}

}  // namespace thirstline
