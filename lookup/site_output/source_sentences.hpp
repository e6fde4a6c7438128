// Where an answer's numbers come from, in sentences: what every form for people shows.
#pragma once

#include <string>
#include <vector>

#include "lookup/site/site_report.hpp"

namespace thirstline {

/// One for all sources of the same period, licence and attribution; each name once.
[[nodiscard]] std::vector<std::string> source_sentences(const Baseline& baseline);

/// Title, publisher and notice, those that there are.
[[nodiscard]] std::vector<std::string> baseline_sentences(const Baseline& baseline);

}  // namespace thirstline
