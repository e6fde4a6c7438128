// A zone's month as a person reads it: in his units, rounded, in the words of the tables.
#pragma once

#include <string>

#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// Depths in depth_unit, water in volume_unit; runs as they are to be keyed in. What a month
/// without runs does not have is "-".
struct MonthCells {
    std::string need;
    std::string rain;  ///< what of it is credited
    std::string net;
    std::string gross;
    std::string percent;       ///< of the zone's greatest net need a day
    std::string days;          ///< a week: "3", "3.5"
    std::string runs;          ///< of a watering day: "2 x 8 min"; "dormant"
    std::string run_time;      ///< of a watering day, all cycles: "16 min"
    std::string minutes_week;  ///< as planned
    std::string water;
    std::string cost;  ///< empty without a price
};

[[nodiscard]] MonthCells month_cells(const ZoneMonth& month, const ZonePlan& zone,
                                     const DemandReport& report, const TextStyle& style);

}  // namespace thirstline
