// All that a demand is computed for: the zones of a site, the rules they are under, the price of
// their water.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/meter_comparison.hpp"
#include "lookup/demand/water_price.hpp"
#include "lookup/demand/zone.hpp"

namespace thirstline {

/// Who and where, as written; empty texts where nothing was given.
struct JobSheet {
    std::string customer;
    std::string address;
    std::string at;  ///< coordinates, or else `postal`: the site, where the command names none
    std::string postal;
    std::string country;
    std::string elevation;
    std::string contractor;
    std::string license;
    std::string date;
    std::string notes;
};

struct ZoneSet {
    std::vector<Zone> zones;  ///< as given, at least one
    LocalRules rules;
    SiteSetup setup;
    JobSheet job;
    std::optional<WaterPrice> price;
    std::optional<MeterRecord> meter;
    std::string currency;  ///< written before amounts; empty if not named
};

}  // namespace thirstline
