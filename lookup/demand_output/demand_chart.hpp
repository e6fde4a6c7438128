// The year's need and rain as a chart within the page (SVG). Its three kinds of mark differ in
// shape and tone, not only in hue: a line with dots, hatched bars, solid bars.
#pragma once

#include <string>

#include "lookup/demand_output/site_year.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// With a title and a description for screen readers. Uses the page's colours.
[[nodiscard]] std::string demand_chart(const Monthly<SiteMonth>& months, const TextStyle& style);

}  // namespace thirstline
