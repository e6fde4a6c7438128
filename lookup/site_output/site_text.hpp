// The answer about a site as text for a phone-sized terminal: lines are at most 44 columns long
// (unless a single word of a source's name is longer).
#pragma once

#include <cstddef>
#include <string>

#include "lookup/site/site_report.hpp"
#include "lookup/site_output/units.hpp"
#include "lookup/texts/text_style.hpp"

namespace thirstline {

inline constexpr std::size_t kTextColumns = 44;

[[nodiscard]] std::string site_text(const SiteReport& report, const TextStyle& style);

}  // namespace thirstline
