// The answer about a site as text for a phone-sized terminal: lines are at most 44 columns long
// (unless a single word of a source's name is longer).
#pragma once

#include <cstddef>
#include <string>

#include "lookup/site/site_report.hpp"
#include "lookup/site_output/units.hpp"

namespace thirstline {

inline constexpr std::size_t kTextColumns = 44;

struct TextStyle {
    UnitSystem units = UnitSystem::metric;
    bool utf8 = true;  ///< block characters and the plus-minus sign; else ASCII
};

[[nodiscard]] std::string site_text(const SiteReport& report, const TextStyle& style);

}  // namespace thirstline
