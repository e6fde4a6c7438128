// The input of a demand: the zones of a site, their local rules, and the price of their water.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/meter_comparison.hpp"
#include "lookup/demand/water_price.hpp"
#include "lookup/demand/zone.hpp"
#include "lookup/texts/text_style.hpp"

namespace thirstline {

/// Names and places, as written; texts are empty if not given.
struct JobSheet {
    std::string customer;
    std::string address;
    std::string at;  ///< coordinates, or else `postal`: the site, if the command does not name one
    std::string postal;
    std::string country;
    std::string elevation;
    std::string contractor;
    std::string license;
    std::string date;
    std::string notes;
    Language language = Language::english;
};

struct ZoneSet {
    std::vector<Zone> zones;  ///< in the order given, at least one
    LocalRules rules;
    SiteSetup setup;
    JobSheet job;
    std::optional<WaterPrice> price;
    std::optional<MeterRecord> meter;
    std::string currency;  ///< printed before amounts; empty if not given
};

}  // namespace thirstline
