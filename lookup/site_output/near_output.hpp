// The stations used for a site, as text or JSON.
#pragma once

#include <string>
#include <vector>

#include "lookup/site/near_stations.hpp"
#include "lookup/site/site_query.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// At most 44 columns wide, like the text of `site`.
[[nodiscard]] std::string near_text(const SiteQuery& query,
                                    const std::vector<NearStation>& stations,
                                    const TextStyle& style);

/// { "schema_version", "query", "stations": […] }, always metric, with a final line end.
[[nodiscard]] std::string near_json(const SiteQuery& query,
                                    const std::vector<NearStation>& stations);

}  // namespace thirstline
