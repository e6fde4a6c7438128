// The rules for the settings of one month: those of the whole year, changed by the restrictions of
// that month's dates, without those that an exempt zone need not keep.
#pragma once

#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/zone.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Settings are for a whole month. A month that a restriction covers in part therefore uses the
/// stricter rule of each kind on all its days. `restrictions` is empty in the result.
/// Errors (bad_input): two restrictions on one day; a month in which no day is allowed by both, or
/// in which one goes by weekdays and the other by dates.
[[nodiscard]] Result<Monthly<LocalRules>> rules_by_month(const LocalRules& rules);

/// Without the rules on days, depth, minutes and cycles.
[[nodiscard]] LocalRules rules_for_exempt(LocalRules rules);

/// In its monthly schedule; the exemption of new plantings is only for their establishment
/// schedule.
[[nodiscard]] bool is_exempt(const Zone& zone, const ExemptZones& exempt);

/// During its establishment schedule.
[[nodiscard]] bool is_exempt_as_new(const Zone& zone, const ExemptZones& exempt);

}  // namespace thirstline
