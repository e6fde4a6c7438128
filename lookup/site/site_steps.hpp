// The year of a site by days or weeks, from its monthly normals.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/site/site_profile.hpp"

namespace thirstline {

enum class StepLength { month, week, day };

/// "month", "week" or "day"; nothing for any other word.
[[nodiscard]] std::optional<StepLength> step_length_named(std::string_view name);

struct SiteStep {
    int month = 1;  ///< of the first day, 1 to 12
    int day = 1;    ///< of the month
    int days = 1;
    std::optional<double> eto_mm;  ///< total over the step; empty unless all months are known
    std::optional<double> rain_mm;
};

/// 365 days, or 52 weeks of which the last has 8 days; empty for months, which the profile has.
[[nodiscard]] std::vector<SiteStep> site_steps(const SiteProfile& profile, StepLength length);

/// "07-01"
[[nodiscard]] std::string month_and_day_text(int month, int day);
[[nodiscard]] std::string start_text(const SiteStep& step);

}  // namespace thirstline
