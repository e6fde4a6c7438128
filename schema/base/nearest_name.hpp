// "Did you mean …?": the known word that lies nearest to one that is not known.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

/// Least number of letters to insert, delete, replace or swap with their neighbour that makes one
/// word into the other (optimal string alignment distance), in quarters of a step: a letter that
/// differs only in case costs 1, every other step 4.
[[nodiscard]] std::size_t edit_distance_quarters(std::string_view a, std::string_view b);

/// The candidate at the least distance as a share of the longer word's length, so that "C" is
/// nearer to "degC" than to "K"; the first of several; empty only where there is no candidate.
[[nodiscard]] std::string nearest_name(std::string_view word,
                                       const std::vector<std::string_view>& candidates);

/// Whether a word may be a misspelt name: fewer than half of its letters differ, or the name begins
/// or ends with it ("C" for "degC"), or abbreviates it ("ft" for "feet").
[[nodiscard]] bool is_near_name(std::string_view word, std::string_view name);

/// `did you mean "tmax"?` for the nearest name; empty where none is near.
[[nodiscard]] std::string did_you_mean(std::string_view word,
                                       const std::vector<std::string_view>& candidates);

/// The same after "; ", for the end of a sentence; empty alike.
[[nodiscard]] std::string did_you_mean_clause(std::string_view word,
                                              const std::vector<std::string_view>& candidates);

}  // namespace thirstline
