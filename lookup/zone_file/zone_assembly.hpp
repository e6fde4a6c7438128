// Combines single values to zones, rules and price: which values exclude each other, which require
// each other, and which are mandatory.
#pragma once

#include <optional>
#include <vector>

#include "lookup/zone_file/zone_set.hpp"
#include "lookup/zone_file/zone_values.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// The tables of a file, or the options sorted into such tables.
struct ZoneTables {
    ZoneValues site;
    std::optional<ZoneValues> water;
    std::vector<ZoneValues> zones;  ///< in order
    ZoneValues controller{};
    ZoneValues season{};
    ZoneValues job{};
    std::vector<ZoneValues> restrictions{};  ///< in order
    std::optional<ZoneValues> meter{};
};

/// A zone without a name is called "zone 1" by its position in the list.
/// Errors (bad_input in a file, usage among options), each naming the places of all values
/// concerned: a quantity given in two units, two values that exclude each other, one that is only
/// valid together with another, a missing value, two zones of the same name, prices that
/// check_water_price rejects.
[[nodiscard]] Result<ZoneSet> zone_set(const ZoneTables& tables);

}  // namespace thirstline
