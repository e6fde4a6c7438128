// Writes the files of an export in a temporary folder next to the target, and moves them into place
// when all are finished. On any failure, nothing is left behind and existing files are unchanged.
#pragma once

#include <cstdio>
#include <string>
#include <string_view>
#include <utility>

#include "schema/base/result.hpp"

namespace thirstline {

class StagedFiles {
  public:
    /// Errors: those of TemporaryFile::beside.
    [[nodiscard]] static Result<StagedFiles> beside(const std::string& target);
    StagedFiles(StagedFiles&& other) noexcept
        : folder_(std::exchange(other.folder_, {})), lock_(std::exchange(other.lock_, -1)) {}
    StagedFiles& operator=(StagedFiles&&) = delete;
    StagedFiles(const StagedFiles&) = delete;
    StagedFiles& operator=(const StagedFiles&) = delete;
    ~StagedFiles();

    /// The path for writing a file of that name.
    [[nodiscard]] std::string path(const std::string& name) const { return folder_ + "/" + name; }

    /// Moves a finished file into place. Errors: those of put_in_place.
    [[nodiscard]] Result<void> place(const std::string& name, const std::string& target) const;

    /// Moves two files that belong together into place. The old side file is removed first: at no
    /// time, not even if the process is killed, is a new file next to an old one. Errors: those of
    /// put_in_place; if the first file cannot be moved, both old ones remain.
    [[nodiscard]] Result<void> place_both(const std::string& name, const std::string& target,
                                          const std::string& side_name,
                                          const std::string& side_target) const;

  private:
    StagedFiles(std::string folder, int lock) : folder_(std::move(folder)), lock_(lock) {}
    std::string folder_;
    int lock_ = -1;  ///< as in TemporaryFile
};

/// A text file, written piece by piece. Output is complete only after `finish` succeeds.
class TextFile {
  public:
    /// Errors call the file `name`. Errors: io.
    [[nodiscard]] static Result<TextFile> create(const std::string& path, std::string name);
    TextFile(TextFile&& other) noexcept;
    TextFile& operator=(TextFile&&) = delete;
    TextFile(const TextFile&) = delete;
    TextFile& operator=(const TextFile&) = delete;
    ~TextFile();

    /// Errors: io.
    [[nodiscard]] Result<void> write(std::string_view text);
    [[nodiscard]] Result<void> finish();

  private:
    TextFile(std::FILE* file, std::string name) : file_(file), name_(std::move(name)) {}
    std::FILE* file_;
    std::string name_;
};

}  // namespace thirstline
