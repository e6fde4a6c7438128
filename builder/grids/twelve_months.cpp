#include "builder/grids/twelve_months.hpp"

#include <array>
#include <string_view>

#include "schema/base/calendar.hpp"

namespace thirstline {

std::optional<std::string> trouble_with_months(const std::vector<BandTime>& times) {
    constexpr std::array<std::string_view, 12> kOrdinals{"first", "second", "third",    "fourth",
                                                         "fifth", "sixth",  "seventh",  "eighth",
                                                         "ninth", "tenth",  "eleventh", "twelfth"};
    bool at_starts = true;
    bool at_ends = true;
    std::size_t odd = 0;
    for (std::size_t i = times.size(); i-- > 0;) {
        const int month = static_cast<int>(i) % kMonths;
        if (times[i].month != month) {
            at_starts = false;
            odd = i;
        }
        at_ends = at_ends && times[i].starts_month && previous_month(times[i].month) == month;
    }
    if (at_starts || at_ends) return std::nullopt;
    return "its " + std::string(kOrdinals[odd % kOrdinals.size()]) + " time is in " +
           std::string(kMonthNames[static_cast<std::size_t>(times[odd].month)]);
}

}  // namespace thirstline
