// Reads the request that page_core.h describes.
#pragma once

#include <string_view>

#include "lookup/site/site_report.hpp"
#include "lookup/site_output/units.hpp"
#include "lookup/zone_file/zone_set.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct PageRequest {
    SiteReport site;  ///< only the profile and the baseline's reference are known
    ZoneSet set;      ///< one zone
    UnitSystem units = UnitSystem::metric;
};

/// Errors (usage): a request that is too long, a line without "=", an unknown or duplicate name, a
/// climate that is not of that form; and those of zone_set_of_texts.
[[nodiscard]] Result<PageRequest> page_request(std::string_view text);

}  // namespace thirstline
