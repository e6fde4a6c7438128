// From single values to zones, rules and price: which values exclude each other, which need each
// other, and which must be there.
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

/// A zone without a name is called "zone 1" after its place in the list.
/// Errors (bad_input in a file, usage among options), each naming the places of all values that
/// have to do with it: a quantity given in two units, two values that exclude each other, one that
/// means nothing without another, one that is missing, two zones of one name, prices that
/// check_water_price refuses.
[[nodiscard]] Result<ZoneSet> zone_set(const ZoneTables& tables);

}  // namespace thirstline
