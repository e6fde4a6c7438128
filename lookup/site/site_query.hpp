// The place in a question: coordinates or a postal code, and optionally the site's own elevation.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// A question as typed: a position or a postal code.
struct SiteRequest {
    std::optional<LatLonE7> position;
    std::string postal;   ///< as typed; empty if the position is given
    std::string country;  ///< two letters, or empty
    std::optional<std::int32_t> elevation_m;
    std::optional<double> typed_elevation_m;  ///< elevation_m before it was rounded, if typed
};
struct SiteQuery {
    std::optional<LatLonE7> position;   ///< empty if the postal code is unknown
    std::optional<std::string> postal;  ///< as stored in the file
    std::optional<std::string> country;
    std::string place;  ///< of the postal code, if the file has its name
    std::optional<std::int32_t> elevation_m;
    std::optional<double> typed_elevation_m;  ///< elevation_m before it was rounded, if typed
};

/// Why a valid question has no answer.
struct Miss {
    std::string reason;
    std::string hint;
};

/// A question, and the reason if it cannot be answered from the file.
struct SiteFinding {
    SiteQuery query;
    std::optional<Miss> miss;
};

/// Looks up a postal code, in the given country or, if that is empty, in all. Errors (usage): a
/// text that is not a postal code (of the country), and a code that several countries have: the
/// message lists them.
[[nodiscard]] Result<SiteFinding> find_postal_code(Database& database, std::string_view code,
                                                   std::string_view country);

/// The position, or that of the postal code.
/// Errors: those of find_postal_code.
[[nodiscard]] Result<SiteFinding> find_site(Database& database, const SiteRequest& request);

/// "44.45,-37.59", exact, in the form accepted by --at.
[[nodiscard]] std::string lat_lon_text(LatLonE7 position);

/// "no data within 50 km of 44.45,-37.59"
[[nodiscard]] Miss no_data_near(LatLonE7 position, std::int32_t reach_m);

/// The reason for rejecting a site's elevation if the answer `exceeds_max_adjustment`: "the
/// elevation 3000 m is 2612 m above the terrain …". `layout` is that of the answer's file.
[[nodiscard]] std::string elevation_too_far(const Answer& answer, const TileLayout& layout,
                                            std::int32_t elevation_m);

}  // namespace thirstline
