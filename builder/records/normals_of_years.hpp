// From one value a year and month to normals: each calendar month by itself, every year with the
// same weight. Pure functions.
#pragma once

#include <span>
#include <vector>

#include "builder/records/completeness.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

struct NormalsOfYears {
    Monthly<double> values{};  ///< NaN with fewer than min_years
    Monthly<int> years{};      ///< with a value
};

/// `values` are those of the months of consecutive years, from a January; NaN is unknown.
[[nodiscard]] NormalsOfYears normals_of_years(std::span<const double> values,
                                              const CompletenessRules& rules);

/// Places in `values` that are so far from the other years of their calendar month that they cannot
/// be of the same station and unit: more than six robust standard deviations (1.4826 times the
/// median absolute deviation) and 8 °C from the median. Temperatures only, in at least five years.
/// The limits are our own: in the open monthly record of Magog (1948-1981) no mean is more than 4.3
/// such deviations from the median. A month in °F read as °C is 15 °C and more away if it is above
/// −21 °C.
[[nodiscard]] std::vector<std::size_t> far_from_other_years(Variable variable,
                                                            std::span<const double> values);

/// Whether the years make a standard normal: the share of the period that the rules want.
[[nodiscard]] bool has_share_of_years(int years, int first_year, int last_year,
                                      const CompletenessRules& rules);

}  // namespace thirstline
