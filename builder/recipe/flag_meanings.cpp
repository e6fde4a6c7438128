#include "builder/recipe/flag_meanings.hpp"

#include <array>
#include <utility>

namespace thirstline {

namespace {

/// The flags of a set by their letters.
struct FlagSet {
    std::string_view name;
    std::string_view standard;
    std::string_view fewer_years;
};

constexpr std::array<FlagSet, 3> kFlagSets{{
    {"eccc", "AB", "CDEF"},
    {"ncei-1981", "CS", "RPQE"},
    {"ncei-1991", "CS", "RPE"},
}};

FlagMeanings meanings(const FlagSet& set) {
    FlagMeanings found;
    for (const char flag : set.standard)
        found.emplace(std::string(1, flag), RecordLength::standard_normal);
    for (const char flag : set.fewer_years)
        found.emplace(std::string(1, flag), RecordLength::short_record);
    return found;
}

}  // namespace

std::vector<std::string_view> flag_set_names() {
    std::vector<std::string_view> names;
    for (const FlagSet& set : kFlagSets) names.push_back(set.name);
    return names;
}

FlagMeanings flag_set(std::string_view name) {
    for (const FlagSet& set : kFlagSets)
        if (set.name == name) return meanings(set);
    return {};
}

FlagMeanings default_flag_meanings() {
    FlagMeanings both = flag_set("ncei-1991");
    both.merge(flag_set("ncei-1981"));
    return both;
}

}  // namespace thirstline
