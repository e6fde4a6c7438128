#include "builder/inputs/suspects.hpp"

#include <algorithm>
#include <utility>

namespace thirstline {

void SourceTally::add_example(const Suspect& suspect) {
    const auto of_rule = std::count_if(examples.begin(), examples.end(),
                                       [&](const Suspect& s) { return s.rule == suspect.rule; });
    if (static_cast<std::size_t>(of_rule) < kMaxExamples) examples.push_back(suspect);
}

void SourceTally::reject_and_list(Suspect suspect) {
    if (suspect.is_used) ++doubtful[suspect.rule];
    if (++rejected[suspect.rule] <= kMaxListed) examples.push_back(std::move(suspect));
}

std::map<std::string, std::int64_t> SourceTally::not_used() const {
    std::map<std::string, std::int64_t> counts;
    for (const auto& [rule, count] : rejected) {
        const auto used_of_rule = doubtful.find(rule);
        const std::int64_t rest =
            count - (used_of_rule == doubtful.end() ? 0 : used_of_rule->second);
        if (rest > 0) counts[rule] = rest;
    }
    return counts;
}

void SourceTally::add(const SourceTally& later) {
    used += later.used;
    outside += later.outside;
    for (const auto& [rule, count] : later.rejected) rejected[rule] += count;
    for (const auto& [rule, count] : later.doubtful) doubtful[rule] += count;
    for (const Suspect& suspect : later.examples) add_example(suspect);
}

}  // namespace thirstline
