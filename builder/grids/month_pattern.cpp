#include "builder/grids/month_pattern.hpp"

#include "schema/base/calendar.hpp"

namespace thirstline {

namespace {

constexpr std::string_view kTwoDigits = "{month:02}";
constexpr std::string_view kPlain = "{month}";
constexpr std::string_view kYear = "{year}";

void replace_all(std::string& text, std::string_view form, const std::string& number) {
    for (auto at = text.find(form); at != std::string::npos;
         at = text.find(form, at + number.size()))
        text.replace(at, form.size(), number);
}

}  // namespace

bool has_month_pattern(std::string_view text) {
    return text.find(kTwoDigits) != std::string_view::npos ||
           text.find(kPlain) != std::string_view::npos;
}

bool has_year_pattern(std::string_view text) {
    return text.find(kYear) != std::string_view::npos;
}

std::string with_month(std::string text, int month) {
    const std::string number = std::to_string(month + 1);
    replace_all(text, kTwoDigits, month < 9 ? "0" + number : number);
    replace_all(text, kPlain, number);
    return text;
}

std::string with_year(std::string text, int year) {
    replace_all(text, kYear, std::to_string(year));
    return text;
}

std::vector<std::string> with_all_months(const std::string& text,
                                         const std::optional<YearRange>& years) {
    std::vector<std::string> of_years{text};
    if (years && has_year_pattern(text)) {
        of_years.clear();
        for (int year = years->first; year <= years->last; ++year)
            of_years.push_back(with_year(text, year));
    }
    if (!has_month_pattern(text)) return of_years;
    std::vector<std::string> of_months;
    for (const std::string& each : of_years)
        for (int month = 0; month < kMonths; ++month) of_months.push_back(with_month(each, month));
    return of_months;
}

}  // namespace thirstline
