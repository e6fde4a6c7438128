// Notes beside the schedule: how unusual days are set on a controller, why a month is off, and
// which nights end late.
#pragma once

#include <string>
#include <vector>

#include "lookup/demand/plan.hpp"
#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/site_text.hpp"
#include "lookup/texts/phrase.hpp"

namespace thirstline {

/// How days that are neither weekdays nor odd or even dates are set. Empty if there are none.
[[nodiscard]] std::vector<Phrase> day_setting_notes(const DemandPlan& plan);

/// Months in which a zone is off although its plants need water, with the reason: "Off although
/// plants need water: Mar (north lawn 1.66 in). …"
[[nodiscard]] std::vector<std::string> off_month_notes(const DemandReport& report,
                                                       const TextStyle& style);

/// Months in which watering ends after 06:00, by the month-by-month settings; empty if there are
/// none.
[[nodiscard]] Phrase late_nights_by_month(const DemandPlan& plan);
/// The same for the base schedule at its percentages.
[[nodiscard]] Phrase late_nights_by_percentage(const DemandPlan& plan);

}  // namespace thirstline
