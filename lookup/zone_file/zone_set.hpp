// All that a demand is computed for: the zones of a site, the rules they are under, the price of
// their water.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/water_price.hpp"
#include "lookup/demand/zone.hpp"

namespace thirstline {

struct ZoneSet {
    std::vector<Zone> zones;  ///< as given, at least one
    LocalRules rules;
    SiteSetup setup;
    std::optional<WaterPrice> price;
    std::string currency;  ///< written before amounts; empty if not named
};

}  // namespace thirstline
