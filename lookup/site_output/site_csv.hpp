// The answer about a site as CSV: one row per month, or one row per step. Headers include the unit.
//
//   month,days,eto_mm,eto_mm_per_day,eto_se_mm,rain_mm,rain_se_mm,tmax_c,tmin_c,
//       percent_of_peak,method,own            (tmax_c and tmin_c if the file has temperature)
//   start,days,eto_mm,rain_mm                 (with steps)
//
// In US units _mm becomes _in and _c becomes _f. Unknown values are empty fields; `own` names the
// values from the user's own record: "eto", "rain" or "eto rain".
#pragma once

#include <string>

#include "lookup/site/site_report.hpp"
#include "lookup/site_output/units.hpp"

namespace thirstline {

[[nodiscard]] std::string site_csv(const SiteReport& report, UnitSystem units);

}  // namespace thirstline
