// A demand as JSON, schema version 2: the JSON of `site`, with zones, site and cautions. Always
// metric, rounded half away from zero: mm of the climate and the need, minutes a week, litres and
// percent to 0.1; mm of settings, a cycle's minutes and money to 0.01; areas, rates and watering
// days to 0.0001, so that settings multiplied out give what is applied. What is not known is null.
// schema/json/demand.schema.json describes it.
#pragma once

#include <string>

#include "lookup/demand_output/demand_report.hpp"
#include "schema/text/json_writer.hpp"

namespace thirstline {

inline constexpr int kDemandSchemaVersion = 2;

/// The members "job", "zones", "site" and "cautions".
void write_demand(JsonWriter& json, const DemandReport& report);

/// With a final line end. A miss is the same as of `site`: miss_json.
[[nodiscard]] std::string demand_json(const DemandReport& report, JsonLayout layout);

}  // namespace thirstline
