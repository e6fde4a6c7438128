// The files that a build reads, with their state at its start: a file that is replaced or
// overwritten during the build would give the numbers of one version and the checksum of another.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "builder/background/source_grids.hpp"
#include "builder/stations/station_set.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

class InputFiles {
  public:
    /// Stores which file is at a path that is about to be opened.
    void note(const std::string& path);

    /// Computes a file's checksum before its values are read. A file that does not exist is
    /// reported by the code that reads it.
    /// Errors: io; bad_input for a pipe, and for a different file than `note` found. `where`
    /// ("merrow.toml:12") begins the message.
    [[nodiscard]] Result<void> add(const std::string& path, const std::string& where);

    /// The file's name and checksum, after its values have been read. The file must have been
    /// added.
    /// Errors: io; bad_input for a file that has changed.
    [[nodiscard]] Result<SourceFile> unchanged(const std::string& path, const std::string& where);

    /// All that `unchanged` has returned.
    [[nodiscard]] std::vector<SourceFile> files() const;

  private:
    /// Identity of a file for the operating system.
    struct Stamp {
        std::uint64_t device = 0;
        std::uint64_t inode = 0;
        std::int64_t bytes = 0;
        std::int64_t changed_s = 0;
        std::int64_t changed_ns = 0;
        bool operator==(const Stamp&) const = default;
    };
    /// Nothing if there is no file.
    static std::optional<Stamp> stamp_of(const std::string& path);

    std::map<std::string, std::optional<Stamp>> stamps_;
    std::map<std::string, SourceFile> before_;
    std::map<std::string, SourceFile> after_;
};

/// Checksums of every file that a build of the recipe would read, for an evaluation of it: of
/// grids, stations, elevation and postal codes. Errors: io; bad_input for a damaged archive.
[[nodiscard]] Result<std::vector<SourceFile>> hashed_inputs(const Recipe& recipe,
                                                            const SourceGrids& grids,
                                                            const StationSet& stations);

}  // namespace thirstline
