// A zone's month as text: in the user's units, rounded, in the words of the tables.
#pragma once

#include <string>

#include "lookup/demand/plan.hpp"
#include "lookup/site_output/site_text.hpp"
#include "lookup/texts/phrase.hpp"

namespace thirstline {

/// Depths in depth_unit, water in volume_unit; runs as set on the controller. Fields without a
/// value in a month without runs are "-".
struct MonthCells {
    std::string need;
    std::string rain;  ///< effective
    std::string net;
    std::string gross;
    std::string percent;       ///< of the zone's greatest net need per day
    std::string days;          ///< as days_phrase
    std::string runs;          ///< per watering day: "2 × 8 min"; "dormant", "off", "no run"
    std::string run_time;      ///< per watering day, all cycles: "16 min"
    std::string minutes_week;  ///< as set
    std::string water;
    std::string cost;  ///< empty without a price
};

[[nodiscard]] MonthCells month_cells(const ZoneMonth& month, const TextStyle& style);

/// "2 × 10 min"; or why there is no run: "dormant", "off", "no run", "-".
[[nodiscard]] Phrase cycles_phrase(const ZoneMonth& month);

/// Watering days: a week, "3" or "every 2 wk"; by dates, those of the month, "5/month".
[[nodiscard]] Phrase days_phrase(const ZoneMonth& month);

}  // namespace thirstline
