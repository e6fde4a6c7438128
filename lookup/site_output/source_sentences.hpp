// The sources of an answer's numbers, in sentences, for all formats read by people.
#pragma once

#include <string>
#include <vector>

#include "lookup/site/site_report.hpp"
#include "lookup/texts/text_style.hpp"

namespace thirstline {

/// One sentence for all sources with the same period, licence and attribution; each name once.
[[nodiscard]] std::vector<std::string> source_sentences(const Baseline& baseline,
                                                        Language language = Language::english);

/// Title, publisher and notice, as far as the file has them.
[[nodiscard]] std::vector<std::string> baseline_sentences(const Baseline& baseline,
                                                          Language language = Language::english);

}  // namespace thirstline
