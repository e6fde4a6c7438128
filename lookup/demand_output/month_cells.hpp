// A zone's month as a person reads it: in the reader's units, rounded, in the words of the tables.
#pragma once

#include <string>
#include <string_view>

#include "lookup/demand/plan.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// Depths in depth_unit, water in volume_unit; runs as they are keyed. What a month without runs
/// does not have is "-".
struct MonthCells {
    std::string need;
    std::string rain;  ///< effective
    std::string net;
    std::string gross;
    std::string percent;       ///< of the zone's greatest net need a day
    std::string days;          ///< a week: "3", "3.5", "every 2 wk"
    std::string runs;          ///< of a watering day: "2 x 8 min"; "dormant", "off"
    std::string run_time;      ///< of a watering day, all cycles: "16 min"
    std::string minutes_week;  ///< as keyed
    std::string water;
    std::string cost;  ///< empty without a price
};

[[nodiscard]] MonthCells month_cells(const ZoneMonth& month, const TextStyle& style);

/// "2 × 10 min"; why there is no run: "dormant", "off", "-".
[[nodiscard]] std::string cycles_text(const ZoneMonth& month, std::string_view times);

}  // namespace thirstline
