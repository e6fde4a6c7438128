// Compares metered use with what the plan applies on the same days.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/plan.hpp"
#include "lookup/demand/zone.hpp"

namespace thirstline {

struct MeterReading {
    CalendarDay date;
    double reading = 0.0;  ///< in units
};

struct MeterRecord {
    double litres_per_unit = 1000.0;     ///< see exact_units.hpp
    double house_units_per_month = 0.0;  ///< in each month of the average year, not for watering
    std::vector<MeterReading> readings;  ///< at least two; dates increase, readings do not decrease
};

/// From one reading to the next.
struct MeterPeriod {
    CalendarDay from;           ///< included
    CalendarDay to;             ///< not included
    double used_l = 0.0;        ///< without indoor use; below 0 if indoor use was less than given
    double planned_l = 0.0;     ///< of the month-by-month settings, within the season
    double difference_l = 0.0;  ///< used minus planned
};

/// A month's planned water is spread evenly over its days within the season.
[[nodiscard]] std::vector<MeterPeriod> meter_comparison(const MeterRecord& record,
                                                        const DemandPlan& plan,
                                                        const std::optional<Season>& season);

}  // namespace thirstline
