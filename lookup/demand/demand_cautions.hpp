// Safety cautions printed with a plan: work with water, electricity, frost and slopes can hurt
// people, and local rules come before any calculation.
#pragma once

#include <vector>

#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/zone.hpp"
#include "lookup/demand/zone_numbers.hpp"
#include "lookup/texts/phrase.hpp"

namespace thirstline {

/// Whole sentences, general ones first. `zones` and `numbers` are in the same order.
[[nodiscard]] std::vector<Phrase> demand_cautions(const std::vector<Zone>& zones,
                                                  const std::vector<ZoneNumbers>& numbers,
                                                  const LocalRules& rules);

}  // namespace thirstline
