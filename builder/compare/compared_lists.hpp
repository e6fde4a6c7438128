// What has changed in the lists of two files: metadata, recipe, sources and stations. Pure
// functions.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "builder/compare/comparison.hpp"

namespace thirstline {

using Metadata = std::map<std::string, std::string, std::less<>>;

/// Without the rows that describe only the file, such as its hashes.
[[nodiscard]] std::vector<TextChange> compared_metadata(const Metadata& before,
                                                        const Metadata& after);

/// Lines that only one of the texts has, by their longest common subsequence; empty for texts too
/// long to compare line by line (over 4,000 lines).
[[nodiscard]] std::vector<RecipeLine> compared_lines(const std::string& before,
                                                     const std::string& after);

/// Sources are the same if name and variable are.
[[nodiscard]] std::vector<TextChange> compared_sources(const std::vector<Source>& before,
                                                       const std::vector<Source>& after);

/// A station is the same if its name and country are, and it has not moved more than 50 km; of
/// several, the nearest. It has moved if its position differs by more than 100 m.
[[nodiscard]] std::vector<StationChange> compared_stations(const std::vector<StationRecord>& before,
                                                           const std::vector<StationRecord>& after);

}  // namespace thirstline
