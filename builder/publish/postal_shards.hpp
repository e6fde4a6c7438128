// Postal codes in small JSON files, divided by prefix.
//
// Thread safety: belongs to the thread of its Database.
#pragma once

#include <atomic>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "builder/publish/site_folder.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

struct PostalShards {
    std::vector<std::string> countries;
    std::int64_t codes = 0;
    int prefix_letters = 1;                      ///< Unicode characters
    std::map<std::string, PublishedFile> files;  ///< by prefix
    std::string example;                         ///< the code nearest to a given site; or empty
};

/// The first letters of a code, or the whole of a shorter one. `code` is UTF-8.
[[nodiscard]] std::string prefix_of_code(std::string_view code, int letters);

/// `middle` is the site that the example is near. Errors: those of reading the postal codes and of
/// writing files; interrupted.
[[nodiscard]] Result<PostalShards> write_postal_shards(SiteFolder& folder, Database& database,
                                                       const std::optional<LatLonE7>& middle,
                                                       const std::atomic<bool>& interrupted);

}  // namespace thirstline
