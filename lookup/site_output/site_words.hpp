// Sentences about a site for all formats read by people: the answer's location, and the origin of
// its numbers.
#pragma once

#include <string>
#include <vector>

#include "lookup/site/site_report.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// "Ostrey Bridge, XM 04107"; empty for a site given by coordinates.
[[nodiscard]] std::string place_name(const SiteQuery& query);

/// The place's name, its position, and the distance and elevation of the data.
[[nodiscard]] std::vector<std::string> site_heading(const SiteReport& report,
                                                    const TextStyle& style);

/// The origin of the climate's numbers: method, sources, correction, own values, one sentence each.
[[nodiscard]] std::vector<std::string> origin_of_numbers(const SiteReport& report,
                                                         const TextStyle& style);

/// The same, and the meaning of the numbers.
[[nodiscard]] std::vector<std::string> about_these_numbers(const SiteReport& report,
                                                           const TextStyle& style);

}  // namespace thirstline
