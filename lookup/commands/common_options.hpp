// The options that name a site.
//
// Thread safety: pure functions, apart from opening files.
#pragma once

#include <initializer_list>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "lookup/site/site_query.hpp"
#include "lookup/site_output/units.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace CLI {
class App;
}

namespace thirstline {

/// --at or --postal, --country, --elevation
struct SiteOptions {
    std::string at;
    std::string postal;
    std::string country;
    std::string elevation;
};
void declare_site_options(CLI::App& app, SiteOptions& options);

/// The options, checked as far as they can be without a file.
struct SiteRequest {
    std::optional<LatLonE7> position;
    std::string postal;   ///< as typed; empty if the position is given
    std::string country;  ///< two letters, or empty
    std::optional<std::int32_t> elevation_m;
};
/// Errors: usage.
[[nodiscard]] Result<SiteRequest> site_request(const SiteOptions& options);

/// Errors: those of find_postal_code.
[[nodiscard]] Result<SiteFinding> find_site(Database& database, const SiteRequest& request);

}  // namespace thirstline
