// A site's wet and dry years: whole, coherent years between which a reference lawn's net need for
// irrigation lies (schema/lawn/year_of_need.hpp). Files built with layers = ["years"] have them.
#pragma once

#include <optional>
#include <string_view>

#include "lookup/site/site_profile.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// The years that have a name: of ten years, the need of eight, and of two, is no greater.
inline constexpr double kDryPercent = 80.0;
inline constexpr double kWetPercent = 20.0;
/// Beyond these, thirty years say too little.
inline constexpr double kMinPercent = 2.0;
inline constexpr double kMaxPercent = 98.0;

/// "mean" gives nothing; "dry", "wet", or a number of percent: the share of years in which the lawn
/// needs no more. Errors (usage): anything else.
[[nodiscard]] Result<std::optional<double>> year_percent_named(std::string_view name);

/// Describes the years in `profile.year`, if the file has their layers at this place, and with
/// `percent` moves ETo and rain of the months to that year: the standard errors grow by that of the
/// slopes, and yearly sums and the peak month are those of the moved months. Temperatures stay the
/// normals'.
/// Errors (no_data): a year is wanted, and the file does not have it, or lacks ETo or rain.
[[nodiscard]] Result<void> describe_year(SiteProfile& profile, std::optional<double> percent);

}  // namespace thirstline
