#include "schema/base/nearest_name.hpp"

#include <algorithm>
#include <limits>

#include "schema/base/words.hpp"

namespace thirstline {
namespace {

constexpr std::size_t kStep = 4;
constexpr std::size_t kCaseStep = 1;

std::size_t cost_of_replacing(char a, char b) {
    if (a == b) return 0;
    return ascii_lower(a) == ascii_lower(b) ? kCaseStep : kStep;
}

/// One or two letters of the word, in order, starting with its first: "ft" of "feet".
bool is_abbreviation(std::string_view name, std::string_view word) {
    if (name.size() > 2 || name.front() != word.front()) return false;
    return word.find(name.back(), name.size() - 1) != std::string_view::npos;
}

}  // namespace

std::size_t edit_distance_quarters(std::string_view a, std::string_view b) {
    const std::size_t width = b.size() + 1;
    std::vector<std::size_t> table((a.size() + 1) * width);
    const auto at = [&](std::size_t i, std::size_t j) -> std::size_t& {
        return table[i * width + j];
    };
    for (std::size_t i = 0; i <= a.size(); ++i) at(i, 0) = i * kStep;
    for (std::size_t j = 0; j <= b.size(); ++j) at(0, j) = j * kStep;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        for (std::size_t j = 1; j <= b.size(); ++j) {
            std::size_t least = at(i - 1, j - 1) + cost_of_replacing(a[i - 1], b[j - 1]);
            least = std::min({least, at(i - 1, j) + kStep, at(i, j - 1) + kStep});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                least = std::min(least, at(i - 2, j - 2) + kStep);
            at(i, j) = least;
        }
    }
    return at(a.size(), b.size());
}

std::string nearest_name(std::string_view word, const std::vector<std::string_view>& candidates) {
    std::string_view nearest;
    double least = std::numeric_limits<double>::infinity();
    for (const std::string_view candidate : candidates) {
        const std::size_t longer = std::max<std::size_t>({word.size(), candidate.size(), 1});
        const double share = static_cast<double>(edit_distance_quarters(word, candidate)) /
                             static_cast<double>(longer);
        if (share < least) {
            least = share;
            nearest = candidate;
        }
    }
    return std::string(nearest);
}

bool is_near_name(std::string_view word, std::string_view name) {
    if (word.empty() || name.empty()) return false;
    if (name.starts_with(word) || name.ends_with(word) || is_abbreviation(name, word)) return true;
    return edit_distance_quarters(word, name) * 2 < std::max(word.size(), name.size()) * kStep;
}

std::vector<std::string_view> names_with_unit(std::string_view word,
                                              const std::vector<std::string_view>& candidates) {
    std::vector<std::string_view> names;
    for (const std::string_view name : candidates) {
        if (!word.empty() && name.size() > word.size() && name.starts_with(word) &&
            (name[word.size()] == '_' || name[word.size()] == '-'))
            names.push_back(name);
    }
    constexpr std::size_t kMaxUnits = 4;
    return names.size() < 2 || names.size() > kMaxUnits ? std::vector<std::string_view>{} : names;
}

std::string did_you_mean(std::string_view word, const std::vector<std::string_view>& candidates) {
    std::vector<std::string> quoted;
    for (const std::string_view name : names_with_unit(word, candidates))
        quoted.push_back(in_quotes(name));
    if (!quoted.empty()) return "did you mean " + joined_with_or(quoted) + "?";
    std::vector<std::string_view> near;
    for (const std::string_view name : candidates)
        if (is_near_name(word, name)) near.push_back(name);
    return near.empty() ? "" : "did you mean " + in_quotes(nearest_name(word, near)) + "?";
}

std::string did_you_mean_clause(std::string_view word,
                                const std::vector<std::string_view>& candidates) {
    const std::string question = did_you_mean(word, candidates);
    return question.empty() ? "" : "; " + question;
}

}  // namespace thirstline
