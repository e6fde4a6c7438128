// Everything that a demand shows, whatever its form: text, JSON, CSV or a page to print.
//
// Thread safety: plain values.
#pragma once

#include "lookup/demand/plan.hpp"
#include "lookup/site_report.hpp"
#include "lookup/zone_file/zone_set.hpp"

namespace thirstline {

struct DemandReport {
    SiteReport site;
    ZoneSet set;      ///< what was asked: as many zones as the plan has
    DemandPlan plan;  ///< computed from both
};

}  // namespace thirstline
