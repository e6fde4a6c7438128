#include "builder/grids/year_range.hpp"

#include <charconv>

namespace thirstline {

std::optional<YearRange> year_range_of(std::string_view period) {
    const char* end = period.data() + period.size();
    YearRange years;
    const auto [dash, error] = std::from_chars(period.data(), end, years.first);
    if (error != std::errc{} || dash == end || *dash != '-') return std::nullopt;
    const auto [stop, last_error] = std::from_chars(dash + 1, end, years.last);
    if (last_error != std::errc{} || stop != end) return std::nullopt;
    if (years.first < kFirstYear || years.last > kLastYear || years.last < years.first ||
        years.count() > kMaxYears)
        return std::nullopt;
    return years;
}

}  // namespace thirstline
