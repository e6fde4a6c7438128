// Sentences about the freezes and the growing season of a site.
#pragma once

#include <string>
#include <vector>

#include "lookup/site/season_estimate.hpp"
#include "lookup/texts/text_style.hpp"

namespace thirstline {

[[nodiscard]] std::string season_heading(const TextStyle& style);
[[nodiscard]] std::vector<std::string> season_sentences(const SeasonEstimate& season,
                                                        const TextStyle& style);

}  // namespace thirstline
