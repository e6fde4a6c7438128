#include "builder/recipe/recipe_faults.hpp"

#include <algorithm>

namespace thirstline {

bool RecipeFaults::is_table_faulty() const {
    return std::any_of(faults_.begin() + static_cast<std::ptrdiff_t>(first_of_table_),
                       faults_.end(), [](const Fault& fault) { return !fault.is_withdrawn; });
}

bool RecipeFaults::empty() const {
    return std::ranges::all_of(faults_, &Fault::is_withdrawn);
}

Error RecipeFaults::all() const {
    constexpr std::size_t kMaxShown = 25;
    std::vector<Fault> sorted = faults_;
    std::erase_if(sorted, [](const Fault& fault) { return fault.is_withdrawn; });
    std::ranges::stable_sort(sorted, {}, &Fault::line);
    Error all = sorted.front().error;
    if (sorted.size() == 1) return all;
    const auto with_hint = [](const Error& error) {
        return error.message + (error.hint.empty() ? "" : "; " + error.hint);
    };
    all.message = with_hint(all);
    all.hint.clear();
    for (std::size_t f = 1; f < sorted.size() && f < kMaxShown; ++f)
        all.message += "\n" + with_hint(sorted[f].error);
    if (sorted.size() > kMaxShown)
        all.hint = "and " + std::to_string(sorted.size() - kMaxShown) + " more faults";
    return all;
}

}  // namespace thirstline
