#include "builder/stations/record_length.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <string>
#include <vector>

#include "schema/base/words.hpp"

namespace thirstline {

namespace {

constexpr double kMinYearsOfStandardNormal = 24.0;

/// Every run of exactly four digits.
std::vector<int> years_in(std::string_view text) {
    std::vector<int> years;
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    for (std::size_t i = 0; i < text.size();) {
        std::size_t end = i;
        while (end < text.size() && is_digit(text[end])) ++end;
        if (end - i == 4) {
            int year = 0;
            std::from_chars(text.data() + i, text.data() + end, year);
            years.push_back(year);
        }
        i = end + 1;
    }
    return years;
}

}  // namespace

RecordLength length_of_years(double years) {
    return years >= kMinYearsOfStandardNormal ? RecordLength::standard_normal
                                              : RecordLength::short_record;
}

RecordLength length_of_flag(std::string_view flag) {
    if (flag == "C" || flag == "S") return RecordLength::standard_normal;
    if (flag == "R" || flag == "P" || flag == "Q" || flag == "E") return RecordLength::short_record;
    return RecordLength::not_stated;
}

RecordLength length_of_period(std::string_view period) {
    const std::string lower = ascii_lower(period);
    if (lower.find("typical") != std::string::npos || lower.find("tmy") != std::string::npos)
        return RecordLength::typical_year;
    const std::vector<int> years = years_in(period);
    const bool is_short = years.size() == 2 && years[1] >= years[0] &&
                          years[1] - years[0] + 1 < kMinYearsOfStandardNormal;
    return is_short ? RecordLength::short_record : RecordLength::not_stated;
}

}  // namespace thirstline
