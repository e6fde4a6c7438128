// What every form for people says of a site: which place answers, and how its numbers came about.
#pragma once

#include <string>
#include <vector>

#include "lookup/site/site_report.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// "Ostrey Bridge, XM 04107"; empty for a site that was named by coordinates.
[[nodiscard]] std::string place_name(const SiteQuery& query);

/// The place's name, its position, and at which distance and height the data speak.
[[nodiscard]] std::vector<std::string> site_heading(const SiteReport& report,
                                                    const TextStyle& style);

/// How the climate's numbers came about: method, origin, correction, own values, a sentence each.
[[nodiscard]] std::vector<std::string> origin_of_numbers(const SiteReport& report);

/// The same, and what the numbers mean.
[[nodiscard]] std::vector<std::string> about_these_numbers(const SiteReport& report,
                                                           const TextStyle& style);

}  // namespace thirstline
