// The files of an export are written in a folder of their own beside the target, and take their
// places when all of them are finished. Whatever fails, nothing is left and what stood there
// stands.
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

    /// Where a file of that name is to be written.
    [[nodiscard]] std::string path(const std::string& name) const { return folder_ + "/" + name; }

    /// Puts a finished one in its place. Errors: those of put_in_place.
    [[nodiscard]] Result<void> place(const std::string& name, const std::string& target) const;

    /// Puts two in their places that belong together. The old one of the side file goes first: at
    /// no moment, not even if the process is killed, does a new file stand beside an old one.
    /// Errors: those of put_in_place; if the first cannot be placed, both old ones stay.
    [[nodiscard]] Result<void> place_both(const std::string& name, const std::string& target,
                                          const std::string& side_name,
                                          const std::string& side_target) const;

  private:
    StagedFiles(std::string folder, int lock) : folder_(std::move(folder)), lock_(lock) {}
    std::string folder_;
    int lock_ = -1;  ///< as TemporaryFile's
};

/// A text file, written piece by piece. Nothing has safely left before `finish` has succeeded.
class TextFile {
  public:
    /// `name` is what errors call it. Errors: io.
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
