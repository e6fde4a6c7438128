// The tables of the text about a site: the twelve months with their bars, and the steps.
#pragma once

#include <string>

#include "lookup/site/site_report.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// One line per month and one for the year. The columns of uncertainty are shown only if the file
/// has standard errors or a value is the user's own; they contain "own" next to such a value.
[[nodiscard]] std::string month_table(const SiteReport& report, const TextStyle& style);

/// One line per day or week; empty if the report has no steps.
[[nodiscard]] std::string step_table(const SiteReport& report, const TextStyle& style);

/// "ETo", or "ETr" for the tall reference surface.
[[nodiscard]] std::string eto_label(const Baseline& baseline);

/// A depth in the reader's unit, without the unit's name: "6.50" or "165.1".
[[nodiscard]] std::string depth_text(double mm, const TextStyle& style, int extra_decimals = 0);
/// "in" or "mm"; in Spanish "pulg"
[[nodiscard]] std::string depth_unit(const TextStyle& style);

[[nodiscard]] bool has_standard_errors(const SiteProfile& profile);

}  // namespace thirstline
