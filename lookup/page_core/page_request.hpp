// Reads the request that page_core.h describes.
#pragma once

#include <string_view>

#include "lookup/site/site_report.hpp"
#include "lookup/site_output/units.hpp"
#include "lookup/zone_file/zone_set.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct PageRequest {
    SiteReport site;  ///< profile and the baseline's reference; nothing else is known
    ZoneSet set;      ///< one zone
    UnitSystem units = UnitSystem::metric;
};

/// Errors (usage): a request that is too long, a line without "=", a name that there is not or that
/// comes twice, a climate that is not of that form; and those of zone_set_of_texts.
[[nodiscard]] Result<PageRequest> page_request(std::string_view text);

}  // namespace thirstline
