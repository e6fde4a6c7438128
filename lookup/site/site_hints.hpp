// Suggestions for a question without an answer: common mistakes.
#pragma once

#include <string>
#include <string_view>

#include "lookup/site/site_query.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// For a postal code that is not in the file: adjacent codes, or the postal codes of places with
/// that name; empty if there is no suggestion. `typed` is what the user wrote. Errors: those of
/// reading the file.
[[nodiscard]] Result<std::string> unknown_postal_hint(Database& database, const SiteQuery& query,
                                                      std::string_view typed);

/// For a position without data: the position with the sign of its longitude or latitude changed, or
/// with both exchanged, if the file has data there; else what an incomplete file lacks, or empty.
/// Errors: those of reading the file.
[[nodiscard]] Result<std::string> wrong_sign_hint(Database& database, LatLonE7 position);

}  // namespace thirstline
