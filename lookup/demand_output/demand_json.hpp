// A demand as JSON, schema version 1: the JSON of `site`, with zones, site and cautions. Names are
// fixed: add, never rename. Always metric, rounded half away from zero: mm, minutes a week, litres
// and percent to 0.1; a cycle's minutes, days a week and money to 0.01. What is not known is null.
// schema/json/demand.schema.json describes it.
#pragma once

#include <string>

#include "lookup/demand_output/demand_report.hpp"
#include "schema/text/json_writer.hpp"

namespace thirstline {

/// The members "zones", "site" and "cautions".
void write_demand(JsonWriter& json, const DemandReport& report);

/// With a final line end. A miss is the same as of `site`: miss_json.
[[nodiscard]] std::string demand_json(const DemandReport& report, JsonLayout layout);

}  // namespace thirstline
