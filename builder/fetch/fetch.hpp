// Fills a recipe's data folder and its lock file.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "builder/fetch/data_files.hpp"
#include "builder/fetch/fetch_lock.hpp"
#include "builder/fetch/http_client.hpp"
#include "builder/progress/progress.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

enum class FileState {
    locked,    ///< in the folder, with the size and sum of the lock file
    found,     ///< in the folder, but not in the lock file: put there by hand
    download,  ///< to be downloaded
    by_hand,   ///< not in the folder, and no address is known
};

struct PlannedFile {
    DataFile file;
    FileState state = FileState::download;
    std::int64_t bytes = -1;  ///< of the download, as the server states it; -1: not stated
};

struct FetchPlan {
    std::vector<PlannedFile> files;  ///< in the recipe's order
    FetchLock lock;                  ///< of the files that the folder has

    [[nodiscard]] std::int64_t files_in(FileState state) const;
    [[nodiscard]] std::int64_t stated_bytes() const;  ///< of all downloads
    [[nodiscard]] std::int64_t downloads_of_unknown_size() const;
};

struct FetchOptions {
    int silent_seconds = kDefaultSilentSeconds;     ///< as HttpClient has it
    int retry_delay_s = kDefaultRetryDelaySeconds;  ///< before a second attempt; then doubled
    const std::atomic<bool>& interrupted;
};

/// What a fetch would do: reads the folder, whose files it checks, and asks the servers for sizes.
/// Errors: those of data_files and of the lock file; bad_input, with both sums, for a file of the
/// folder that is not the locked one; io for an address that is not there (404, 410), with the
/// recipe's line; interrupted.
[[nodiscard]] Result<FetchPlan> fetch_plan(const Recipe& recipe, const FetchOptions& options,
                                           Progress& progress);

/// Downloads what the plan says, in order, and writes the lock file after each file.
/// Errors: io, before anything is downloaded, if the disk has less room than the servers state;
/// those of `download`; io at the end, if files are to be put into the folder by hand.
[[nodiscard]] Result<void> fetch(const Recipe& recipe, FetchPlan plan, const FetchOptions& options,
                                 Progress& progress);

/// Errors (io, with the recipe's line) for the first file of the data folder that is not there.
[[nodiscard]] Result<void> refuse_missing_files(const Recipe& recipe);

/// What `build --offline` promises: nothing comes from the network, and every file of the data
/// folder has the size and sum of the lock file.
/// Errors: bad_input for a network path, a file that the lock file lacks, and another size or sum.
[[nodiscard]] Result<void> refuse_unlocked_files(const Recipe& recipe, Progress& progress);

}  // namespace thirstline
