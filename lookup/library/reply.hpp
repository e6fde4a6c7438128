// Answers one question of the library from a file: by coordinates or postal code, found or not.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "lookup/site/site_query.hpp"
#include "schema/answer/answer.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/geo/lat_lon.hpp"
#include "thirstline/thirstline.h"

namespace thirstline {

struct SiteQuestion {
    std::optional<std::string_view> postal;  ///< if empty, lat_lon is used
    std::string_view country;                ///< of the postal code; may be empty
    LatLon lat_lon;
    std::optional<std::int32_t> elevation_m;
};

struct Reply {
    thirstline_status status = THIRSTLINE_OK;
    SiteQuery query;
    Answer answer;                       ///< if the status is THIRSTLINE_OK
    Miss miss;                           ///< for any other status
    std::vector<std::string> countries;  ///< if the status is THIRSTLINE_AMBIGUOUS
};

/// Errors in the question are in the answer's status. Errors: those of reading the file.
[[nodiscard]] Result<Reply> site_answer(Database& database, const SiteQuestion& question);

/// Its first half: the query with its place, or why there is none.
[[nodiscard]] Result<Reply> place_of(Database& database, const SiteQuestion& question);

/// The status for an error.
[[nodiscard]] thirstline_status status_of(ErrorCode code);

}  // namespace thirstline
