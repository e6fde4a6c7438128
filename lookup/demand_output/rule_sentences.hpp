// The local rules of a plan as sentences.
#pragma once

#include <string>

#include "lookup/demand/local_rules.hpp"
#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/site_text.hpp"
#include "lookup/texts/phrase.hpp"

namespace thirstline {

/// "Watering rules used: Mon, Wed, Fri; 8-hour water window. From May 1 to Sep 30: at most 2 days
/// per week."; empty without rules.
[[nodiscard]] std::string rules_sentence(const DemandReport& report, const TextStyle& style);

/// The effect of a rule in conflict, by its key in the zone file: "the water window (1 h) is too
/// short". `is_too_far_apart`: water is sufficient, but the interval between days is too long.
[[nodiscard]] Phrase rule_words(std::string_view rule, bool is_too_far_apart,
                                const LocalRules& rules);

}  // namespace thirstline
