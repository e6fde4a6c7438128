// The local rules of a plan in words.
#pragma once

#include <string>

#include "lookup/demand/local_rules.hpp"
#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// "Watering rules used: Mon, Wed, Fri; 8-hour water window. From May 1 to Sep 30: at most 2 days
/// per week."; empty without rules.
[[nodiscard]] std::string rules_sentence(const DemandReport& report, const TextStyle& style);

/// What a rule in conflict does, by its key in the zone file: "the water window (1 h) is too
/// short". `is_too_far_apart`: not water is missing, but days lie too far apart.
[[nodiscard]] std::string rule_words(std::string_view rule, bool is_too_far_apart,
                                     const LocalRules& rules);

}  // namespace thirstline
