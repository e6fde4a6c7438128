// The folder that publish writes: made whole beside its target, then put in its place in one step.
// Whatever fails before that step, nothing is left and what stood at the target still stands.
//
// A folder that publish wrote is known by its file SHA256SUMS, which lists every other file of it.
// Only such a folder is ever replaced, and only while nothing else has been put into it.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>

#include "builder/export/staged_files.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct PublishedFile {
    std::string name;  ///< from the folder on, with slashes
    std::int64_t bytes = 0;
    std::string sha256;
};

class SiteFolder {
  public:
    /// Errors: usage where the target is there and may not be replaced; io where its folder does
    /// not let itself be written to.
    [[nodiscard]] static Result<SiteFolder> beside(const std::string& target, bool overwrite);

    /// Where a file of that name is to be written by others, who then `take` it.
    [[nodiscard]] std::string path(const std::string& name) const;

    /// Writes a file. Errors: io.
    [[nodiscard]] Result<PublishedFile> add(const std::string& name, std::string_view bytes);
    /// The same, named by its bytes: "data/area" and ".img" give "data/area-0123456789abcdef.img".
    [[nodiscard]] Result<PublishedFile> add_by_hash(const std::string& stem,
                                                    const std::string& ending,
                                                    std::string_view bytes);
    /// A file that others have written. Errors: io.
    [[nodiscard]] Result<PublishedFile> take(const std::string& name);

    /// All of them by name.
    [[nodiscard]] const std::map<std::string, PublishedFile>& files() const { return files_; }

    /// Brings everything onto the disk, and the folder to its place.
    /// Errors: io; usage where the target has changed meanwhile.
    [[nodiscard]] Result<void> place();

  private:
    SiteFolder(StagedFiles staged, std::string target, bool overwrite)
        : staged_(std::move(staged)), target_(std::move(target)), overwrite_(overwrite) {}
    [[nodiscard]] Result<void> swap_with_target() const;

    StagedFiles staged_;
    std::string target_;
    bool overwrite_;
    std::map<std::string, PublishedFile> files_;
};

/// Errors (usage): the target is a file; a folder, and `overwrite` is not given; one that publish
/// did not write, or that holds a file which publish did not write.
[[nodiscard]] Result<void> refuse_folder(const std::string& target, bool overwrite);

}  // namespace thirstline
