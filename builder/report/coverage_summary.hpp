// What a recipe's sources give over its lattice, for a person who decides which source to add: the
// share of the points with data of their own by driver and month, a small map, and what is missing
// where.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "builder/pipeline/lattice_coverage.hpp"

namespace thirstline {

/// Percent of the places with data that have data of their own of this kind in the month, rounded
/// down, so that 100 is all of them; 0 to 100.
[[nodiscard]] Monthly<int> covered_percent(const LatticeCoverage& coverage, Need need);

/// A driver that some places with data lack in some month.
struct Gap {
    Need need = Need::temperature;
    int places = 0;
    double percent = 0.0;        ///< of the places with data
    std::string where;           ///< "everywhere", "in the north-west and the north"
    std::vector<int> months;     ///< 1 to 12, those in which it is missing at some place
    std::string consequence;     ///< what a build takes instead
    std::string helpful_source;  ///< a kind of source that would give it
};
[[nodiscard]] std::vector<Gap> gaps_of(const LatticeCoverage& coverage);

/// At most 60 characters wide and 20 high, the northernmost row first.
struct CoverageMap {
    std::vector<std::string> rows;
    std::vector<std::pair<char, std::string>> legend;  ///< of the characters that occur
    double north_deg = 0.0;                            ///< middle of the first row …
    double south_deg = 0.0;                            ///< … and of the last
    double west_deg = 0.0;                             ///< the same for columns
    double east_deg = 0.0;
};
[[nodiscard]] CoverageMap coverage_map(const LatticeCoverage& coverage);

/// Table, map and sentences, with a final newline.
[[nodiscard]] std::string coverage_text(const LatticeCoverage& coverage);

}  // namespace thirstline
