#include "lookup/demand_output/reader_numbers.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <cstdint>
#include <utility>

#include "lookup/demand/exact_units.hpp"
#include "lookup/site_output/site_table.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

bool is_us(const TextStyle& style) {
    return style.units == UnitSystem::us;
}

/// "1,234.50"
std::string with_thousands_apart(double value, int decimals) {
    std::string out = fixed(value, decimals);
    const std::size_t point = std::min(out.find('.'), out.size());
    const std::size_t first_digit = out.starts_with('-') ? 1 : 0;
    for (std::size_t at = point; at > first_digit + 3;) {
        at -= 3;
        out.insert(at, 1, ',');
    }
    return out;
}

void replace_all(std::string& text, std::string_view from, std::string_view to) {
    for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size())
        text.replace(at, from.size(), to);
}

}  // namespace

std::string depth_with_unit(double mm, const TextStyle& style) {
    return depth_text(mm, style) + " " + depth_unit(style);
}

std::string volume_number(double litres, const TextStyle& style) {
    return with_thousands_apart(is_us(style) ? litres / kLitresPerGallon : litres, 0);
}

std::string_view volume_unit(const TextStyle& style) {
    return is_us(style) ? "gal" : "L";
}

std::string volume_with_unit(double litres, const TextStyle& style) {
    if (!is_us(style) && std::fabs(litres) >= kLitresPerCubicMetre)
        return with_thousands_apart(litres / kLitresPerCubicMetre, 1) + " m³";
    return volume_number(litres, style) + " " + std::string(volume_unit(style));
}

std::string area_with_unit(double m2, const TextStyle& style) {
    return is_us(style) ? with_thousands_apart(m2 / kM2PerFt2, 0) + " ft²"
                        : with_thousands_apart(m2, 1) + " m²";
}

std::string rate_with_unit(double mm_per_h, const TextStyle& style) {
    return is_us(style) ? fixed(inches(mm_per_h), 2) + " in/hr" : fixed(mm_per_h, 1) + " mm/h";
}

std::string money(double amount, std::string_view currency) {
    const bool ends_in_letter =
        !currency.empty() && std::isalpha(static_cast<unsigned char>(currency.back())) != 0;
    return (rounded_to_integer(amount, 2) < 0 ? "-" : "") + std::string(currency) +
           (ends_in_letter ? " " : "") + with_thousands_apart(std::fabs(amount), 2);
}

bool is_negligible_depth(double mm, const TextStyle& style) {
    return mm < (is_us(style) ? 0.05 * kMmPerInch : 0.5);
}

std::string days_number(double days_per_week) {
    for (const int weeks : {2, 4}) {
        if (std::fabs(days_per_week * weeks - 1.0) < 0.02)
            return "every " + std::to_string(weeks) + " wk";
    }
    const bool is_whole = std::fabs(days_per_week - std::round(days_per_week)) < 0.05;
    return fixed(days_per_week, is_whole ? 0 : 1);
}

std::string minutes_number(double minutes) {
    const bool is_whole = std::fabs(minutes - std::round(minutes)) < 0.05;
    return fixed(minutes, is_whole ? 0 : 1);
}

std::string run_length(double minutes) {
    if (minutes < 1.0) return fixed(minutes * 60.0, 0) + " s";
    return minutes_number(minutes) + " min";
}

std::string in_reader_units(std::string text, const TextStyle& style) {
    if (!is_us(style)) return text;
    constexpr std::array<std::string_view, 6> kMetricUnits{"mm",    "mm/h", "mm/m",
                                                           "L/min", "L",    "m²"};
    for (std::size_t open = text.find(" ("); open != std::string::npos;
         open = text.find(" (", open + 1)) {
        const std::size_t close = text.find(')', open);
        const std::size_t unit_at = open == 0 ? std::string::npos : text.rfind(' ', open - 1);
        if (close == std::string::npos || unit_at == std::string::npos || unit_at == 0) continue;
        const std::string unit = text.substr(unit_at + 1, open - unit_at - 1);
        if (std::find(kMetricUnits.begin(), kMetricUnits.end(), unit) == kMetricUnits.end())
            continue;
        std::size_t number_at = unit_at;
        while (number_at > 0 && text[number_at - 1] != ' ') --number_at;
        if (std::isdigit(static_cast<unsigned char>(text[number_at])) == 0) continue;
        const std::string metric = text.substr(number_at, open - number_at);
        const std::string us = text.substr(open + 2, close - open - 2);
        text.replace(number_at, close + 1 - number_at, us + " (" + metric + ")");
    }
    return text;
}

std::string in_ascii(std::string text) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 8> kReplacements{
        {{"±", "+-"},
         {"×", "x"},
         {"²", "2"},
         {"³", "3"},
         {" °C", " C"},
         {"°", ""},
         {"–", "-"},
         {"…", "..."}}};
    for (const auto& [from, to] : kReplacements) replace_all(text, from, to);
    return text;
}

}  // namespace thirstline
