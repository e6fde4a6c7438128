// A demand as JSON, schema version 2: the JSON of `site`, with zones, site and cautions. Always
// metric, rounded half away from zero: mm of the climate and the need, minutes per week, litres and
// percent to 0.1; mm of settings, a cycle's minutes and costs to 0.01; areas, rates and watering
// days to 0.0001, so that the product of the settings equals the applied depth. Unknown values are
// null. schema/json/demand.schema.json describes it.
#pragma once

#include <string>

#include "lookup/demand_output/demand_report.hpp"
#include "schema/text/json_writer.hpp"

namespace thirstline {

inline constexpr int kDemandSchemaVersion = 2;

/// The members "job", "zones", "site" and "cautions".
void write_demand(JsonWriter& json, const DemandReport& report);

/// With a final line end. The JSON of a miss is that of `site`: miss_json.
[[nodiscard]] std::string demand_json(const DemandReport& report, JsonLayout layout);

}  // namespace thirstline
