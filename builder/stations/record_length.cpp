#include "builder/stations/record_length.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
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

RecordLength shorter_by_flag(RecordLength so_far, RecordLength by_flag) {
    const bool is_first = so_far == RecordLength::not_stated;
    return by_flag == RecordLength::short_record || is_first ? by_flag : so_far;
}

FlagReading::FlagReading(const std::optional<FlagMeanings>& stated)
    : is_stated_(stated.has_value()), meanings_(stated ? *stated : default_flag_meanings()) {}

std::optional<RecordLength> FlagReading::length_of(std::string_view flag) {
    const auto found = meanings_.find(flag);
    if (found != meanings_.end()) return found->second;
    has_unknown_ = true;
    return std::nullopt;
}

void FlagReading::drop_doubtful(std::vector<Station>& stations, std::string_view period) const {
    if (is_stated_ || !has_unknown_) return;
    for (Station& station : stations) {
        for (StationNormals& normals : station.normals)
            if (std::isnan(normals.years)) normals.length = length_of_period(period);
    }
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
