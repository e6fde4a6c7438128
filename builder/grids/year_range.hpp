// The years of a period, as recipes write it: "1991-2020".
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace thirstline {

/// Years that files of weather may hold: other numbers of four digits are not years.
inline constexpr int kFirstYear = 1700;
inline constexpr int kLastYear = 2199;
/// The longest period.
inline constexpr int kMaxYears = 200;

/// First and last year, both included.
struct YearRange {
    int first = kFirstYear;
    int last = kFirstYear;

    friend bool operator==(const YearRange&, const YearRange&) = default;
    [[nodiscard]] int count() const { return last - first + 1; }
    [[nodiscard]] bool contains(int year) const { return year >= first && year <= last; }
    /// "1991-2020"
    [[nodiscard]] std::string text() const {
        return std::to_string(first) + "-" + std::to_string(last);
    }
};

/// Nothing for any other text, and for more than kMaxYears.
[[nodiscard]] std::optional<YearRange> year_range_of(std::string_view period);

}  // namespace thirstline
