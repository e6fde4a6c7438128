// The year's need and rain as a drawing within the page (SVG). Its three kinds of mark differ in
// form and tone, not in hue alone: a line with dots, hatched bars, solid bars.
#pragma once

#include <string>

#include "lookup/demand_output/site_year.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// With a title and a description that a screen reader speaks. Colours are the page's.
[[nodiscard]] std::string demand_chart(const Monthly<SiteMonth>& months, const TextStyle& style);

}  // namespace thirstline
