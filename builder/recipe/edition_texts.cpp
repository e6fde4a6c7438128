#include "builder/recipe/edition_texts.hpp"

#include <cstdio>
#include <string_view>

#include "builder/records/calendar_days.hpp"

namespace thirstline {

std::optional<std::string> normal_doi(std::string text) {
    for (const std::string_view prefix : {"https://doi.org/", "http://doi.org/", "doi:"})
        if (text.starts_with(prefix)) text.erase(0, prefix.size());
    const std::size_t slash = text.find('/');
    const bool is_doi = text.starts_with("10.") && slash != std::string::npos && slash > 3 &&
                        slash + 1 < text.size() && text.find_first_of(" \t\n") == std::string::npos;
    if (!is_doi) return std::nullopt;
    return text;
}

std::optional<std::string> normal_date(const std::string& text) {
    int year = 0;
    int month = 0;
    int day = 0;
    int end = 0;
    const int parts = std::sscanf(text.c_str(), "%4d-%2d-%2d%n", &year, &month, &day, &end);
    if (parts != 3 || static_cast<std::size_t>(end) != text.size()) return std::nullopt;
    return normal_date(year, month, day);
}

std::optional<std::string> normal_date(int year, int month, int day) {
    if (year < 1 || !record_day(year, month - 1, day)) return std::nullopt;
    char text[40];
    std::snprintf(text, sizeof text, "%04d-%02d-%02d", year, month, day);
    return text;
}

}  // namespace thirstline
