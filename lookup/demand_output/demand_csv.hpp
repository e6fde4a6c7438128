// A demand as CSV: one row per zone and month. Headers include the unit.
//
//   zone,month,days,need_mm,effective_rain_mm,net_mm,gross_mm,applied_mm,short_mm,excess_mm,
//       wanted_minutes_per_week,minutes_per_week,days_per_week,day_names,cycles_per_day,
//       minutes_per_cycle,soak_minutes,interval_days,percent_of_peak_need,program,
//       base_minutes_per_day,base_days_per_week,percent,applied_by_percentage_mm,
//       excess_by_percentage_mm,volume_l,cost,dormant,conflicts
//
// In US units _mm becomes _in and _l becomes _gal. Unknown values are empty fields; `dormant` is
// true or false; `conflicts` names the rules that leave the zone short in that month.
#pragma once

#include <string>

#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/units.hpp"

namespace thirstline {

[[nodiscard]] std::string demand_csv(const DemandReport& report, UnitSystem units);

}  // namespace thirstline
