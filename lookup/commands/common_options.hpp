// The options that name a site.
#pragma once

#include <string>

#include "lookup/site/site_query.hpp"
#include "schema/base/result.hpp"

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

/// Errors: usage.
[[nodiscard]] Result<SiteRequest> site_request(const SiteOptions& options);

}  // namespace thirstline
