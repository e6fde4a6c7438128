// Demand reports in the invented valley, for the tests of their formats.
#pragma once

#include <string>

#include "lookup/demand_output/demand_report.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline::test {

/// Three zones, rules and a price, as text of a zone file.
[[nodiscard]] std::string three_zones();

/// The same with rules that cannot be met: one short window per week.
[[nodiscard]] std::string three_zones_of_a_strict_town();

/// A name that would be markup if it were not escaped, with bytes that are not UTF-8.
inline const std::string kHostileName = "<script>alert('x')</script> & \"beds\" \xC3\xBC \xFF";

/// The report of `demand` at 47.25° N, 30.5° W. `zones` is the text of a zone file.
[[nodiscard]] DemandReport merrow_demand(const std::string& zones,
                                         const MerrowOptions& options = {});

/// A plan written by hand, with content for every part of every format.
[[nodiscard]] DemandReport full_demand();

}  // namespace thirstline::test
