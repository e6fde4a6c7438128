// Whether a site's own elevation can be right.
#pragma once

#include <optional>
#include <string>

#include "lookup/site/site_report.hpp"
#include "lookup/site_output/units.hpp"
#include "schema/answer/answer.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// An elevation that differs by more than this from the surrounding points gives a warning, and by
/// more than kMaxRiseM an error.
inline constexpr double kMaxRiseWithoutWarningM = 500.0;
inline constexpr double kMaxRiseM = kMaxAdjustmentM;

/// A warning, one sentence, about an elevation that is far from the terrain around the site; empty
/// if there is none. Errors (usage): one that is more than kMaxRiseM above or below it. Both are in
/// the reader's units.
[[nodiscard]] Result<std::optional<std::string>> elevation_warning(const SiteReport& report,
                                                                   UnitSystem units);

}  // namespace thirstline
