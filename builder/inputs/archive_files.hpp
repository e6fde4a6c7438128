// The files in a zip or tar archive, read once from its beginning to its end: thousands of small
// files in one compressed archive take as long as decompressing it.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// "data/all.tar.gz/daily/*.csv" is the archive "data/all.tar.gz" and in it "daily/*.csv".
struct ArchivePath {
    std::string archive;  ///< for GDAL's file systems
    std::string inside;   ///< empty: all files of the archive
};

/// Nothing for a path that does not name a .zip, .tar, .tar.gz, .tgz, .tar.bz2 or .tar.xz. GDAL's
/// /vsizip/ and /vsitar/ may be before it, except with the archive's name in braces.
[[nodiscard]] std::optional<ArchivePath> archive_path(const std::string& path);

/// Whether the name matches the pattern. '*' matches any sequence of characters, '?' a single one.
[[nodiscard]] bool fits_pattern(std::string_view name, std::string_view pattern);

class ArchiveReader {
  public:
    /// `where` ("merrow.toml:80") begins all messages. Errors: io if there is no such file;
    /// bad_input if it is not an archive.
    [[nodiscard]] static Result<ArchiveReader> open(ArchivePath path, std::string where);
    ArchiveReader(ArchiveReader&&) noexcept;
    ArchiveReader& operator=(ArchiveReader&&) noexcept;
    ~ArchiveReader();

    /// Moves to the next file, whose name within the archive it returns; nothing after the last.
    /// Only files that match `inside`: by their own name, or with their folders if it has a slash.
    /// Hidden files and folders do not match.
    /// Errors (bad_input): the archive is damaged.
    [[nodiscard]] Result<std::optional<std::string>> next();

    /// Of the file that `next` moved to; 0 at its end. Errors as above.
    [[nodiscard]] Result<std::size_t> read(char* buffer, std::size_t capacity);

    /// Bytes of the current file, valid until `next` and while the reader exists.
    [[nodiscard]] ByteSource bytes();

  private:
    struct State;
    explicit ArchiveReader(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

/// The bytes of the only file of an archive, or of the one that `inside` names.
/// Errors: as above, and bad_input for none or several, of which the message names the first.
[[nodiscard]] Result<ByteSource> bytes_of_one_file(const ArchivePath& path,
                                                   const std::string& where);

}  // namespace thirstline
