// "Did you mean …?": the known word nearest to an unknown one.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

/// Smallest number of insertions, deletions, replacements and swaps of adjacent letters that turn
/// one word into the other (optimal string alignment distance), in quarters of a step: a letter
/// that differs only in case costs 1, every other step 4.
[[nodiscard]] std::size_t edit_distance_quarters(std::string_view a, std::string_view b);

/// The candidate with the smallest distance relative to the longer word's length, so "C" is nearer
/// to "degC" than to "K". The first one on a tie; empty only without candidates.
[[nodiscard]] std::string nearest_name(std::string_view word,
                                       const std::vector<std::string_view>& candidates);

/// Whether a word may be a misspelled name: fewer than half of its letters differ, or the name
/// begins or ends with it ("C" for "degC"), or it abbreviates the name ("ft" for "feet").
[[nodiscard]] bool is_near_name(std::string_view word, std::string_view name);

/// The names that are the word with a unit, such as "area_ft2" and "area_m2" for "area"; empty
/// unless there are two to four.
[[nodiscard]] std::vector<std::string_view> names_with_unit(
    std::string_view word, const std::vector<std::string_view>& candidates);

/// `did you mean "tmax"?` for the nearest name, or for all that are the word with a unit; empty if
/// none is near.
[[nodiscard]] std::string did_you_mean(std::string_view word,
                                       const std::vector<std::string_view>& candidates);

/// The same after "; ", for the end of a sentence; also empty if no name is near.
[[nodiscard]] std::string did_you_mean_clause(std::string_view word,
                                              const std::vector<std::string_view>& candidates);

}  // namespace thirstline
