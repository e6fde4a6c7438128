// Parts of messages about combinations of values, and the checks common to all tables.
#pragma once

#include <string>

#include "lookup/zone_file/zone_values.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// The name of a missing quantity in a message: the keys of a file, or the options.
[[nodiscard]] std::string asked_for(Quantity quantity, const ValuePlace& place);

/// "zones.toml:12: [[zone]] "; empty for options.
[[nodiscard]] std::string table_start(const ValuePlace& place, KeyTable table);

/// Errors: a quantity that is given twice, in two units.
[[nodiscard]] Result<void> check_single_units(const ZoneValues& values);

}  // namespace thirstline
