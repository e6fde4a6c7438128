// The folder that publish writes: made completely next to its target, then moved into place in one
// step. On any failure before that step, nothing is left behind and the target is unchanged.
//
// A folder written by publish is recognised by its file SHA256SUMS, which lists every other file in
// it. Only such a folder is ever replaced, and only if no other files have been added to it.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "builder/export/staged_files.hpp"
#include "schema/base/result.hpp"
#include "schema/signature/file_signing.hpp"

namespace thirstline {

struct PublishedFile {
    std::string name;  ///< relative to the folder, with slashes
    std::int64_t bytes = 0;
    std::string sha256;
};

class SiteFolder {
  public:
    /// Errors: usage if the target exists and may not be replaced; io if its folder cannot be
    /// written to.
    [[nodiscard]] static Result<SiteFolder> beside(const std::string& target, bool overwrite);

    /// The path for other code to write a file of that name, followed by `take`.
    [[nodiscard]] std::string path(const std::string& name) const;

    /// Writes a file. Errors: io.
    [[nodiscard]] Result<PublishedFile> add(const std::string& name, std::string_view bytes);
    /// The same, named by its hash: "data/area" and ".img" give "data/area-0123456789abcdef.img".
    [[nodiscard]] Result<PublishedFile> add_by_hash(const std::string& stem,
                                                    const std::string& ending,
                                                    std::string_view bytes);
    /// Registers a file written by other code. Errors: io.
    [[nodiscard]] Result<PublishedFile> take(const std::string& name);

    /// All files by name.
    [[nodiscard]] const std::map<std::string, PublishedFile>& files() const { return files_; }

    /// Writes SHA256SUMS, signed by the key if there is one, flushes everything to the disk, and
    /// moves the folder into place. Errors: io; usage if the target has changed in the meantime.
    [[nodiscard]] Result<void> place(const std::optional<SecretKey>& signing_key = std::nullopt);

  private:
    SiteFolder(StagedFiles staged, std::string target, bool overwrite)
        : staged_(std::move(staged)), target_(std::move(target)), overwrite_(overwrite) {}
    [[nodiscard]] Result<void> swap_with_target() const;

    StagedFiles staged_;
    std::string target_;
    bool overwrite_;
    std::map<std::string, PublishedFile> files_;
};

/// Errors (usage): the target is a file; it is a folder, and `overwrite` is not given; it was not
/// written by publish, or contains a file that was not written by publish.
[[nodiscard]] Result<void> refuse_folder(const std::string& target, bool overwrite);

}  // namespace thirstline
