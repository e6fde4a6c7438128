// Downloads one file completely or leaves what it has for the next attempt. The bytes go to
// NAME.partial, and NAME.partial-from beside it keeps the address and the server's validator, with
// which a later attempt goes on where this one stopped.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <string>

#include "builder/fetch/data_files.hpp"
#include "builder/fetch/fetch_lock.hpp"
#include "builder/fetch/http_client.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Bytes so far, and in all (-1: not known).
using DownloadProgress = std::function<void(std::int64_t done, std::int64_t total)>;

/// `locked` is the file's entry in the lock file, or null. The folder must exist and not hold a
/// file of that name. Before a second attempt it waits `retry_delay`, then twice as long each time.
/// Errors begin with the recipe's line. io: the server, the network, the disk, another fetch that
/// downloads the same file; bad_input, with both sizes and sums, for a file that is not the locked
/// one: nothing of it is kept. interrupted.
[[nodiscard]] Result<LockedFile> download(HttpClient& client, const DataFile& file,
                                          const std::string& folder, const LockedFile* locked,
                                          std::chrono::seconds retry_delay,
                                          const DownloadProgress& progress);

}  // namespace thirstline
