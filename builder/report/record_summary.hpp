// What became of the records of a recipe, as text and JSON: void months by station, month and year,
// years behind the normals, reference ET by day beside that of the network.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "builder/records/record_findings.hpp"

namespace thirstline {

/// Empty without records. At most 40 lines of stations a source; the JSON has all.
[[nodiscard]] std::string records_text(const std::vector<RecordFindings>& records);

/// [ { "source", "step", "period", "months_used", "months_void": {…}, "stations": [ { "station",
/// "id", "variables": [ { "variable", "years": [12], "void": [ { "reason", "months": ["1998-02"] }
/// ] } ], "eto": {…} } ] } ]
[[nodiscard]] nlohmann::ordered_json records_json(const std::vector<RecordFindings>& records);

}  // namespace thirstline
