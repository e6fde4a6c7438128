// The stations used for a database's numbers, as a table for spreadsheets.
#pragma once

#include <string>
#include <vector>

#include "schema/database/database.hpp"

namespace thirstline {

/// CSV (RFC 4180) with a header; plain texts, positions in degrees.
[[nodiscard]] std::string station_table_csv(const std::vector<StationRecord>& stations);

}  // namespace thirstline
