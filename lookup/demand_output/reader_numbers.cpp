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
    for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size()) {
        text.replace(at, from.size(), to);
    }
}

}  // namespace

std::string depth_with_unit(double mm, const TextStyle& style) {
    return depth_text(mm, style) + " " + depth_unit(style);
}

std::string volume_number(double litres, const TextStyle& style) {
    return with_thousands_apart(is_us(style) ? litres / kLitresPerGallon : litres, 0);
}

std::string_view volume_unit(const TextStyle& style) {
    return is_us(style) ? "gal" : "l";
}

std::string volume_with_unit(double litres, const TextStyle& style) {
    if (!is_us(style) && std::fabs(litres) >= kLitresPerCubicMetre) {
        return with_thousands_apart(litres / kLitresPerCubicMetre, 1) + " m³";
    }
    return volume_number(litres, style) + " " + std::string(volume_unit(style));
}

std::string area_with_unit(double m2, const TextStyle& style) {
    return is_us(style) ? with_thousands_apart(m2 / kM2PerFt2, 0) + " ft²"
                        : with_thousands_apart(m2, 1) + " m²";
}

std::string rate_with_unit(double mm_per_h, const TextStyle& style) {
    return is_us(style) ? fixed(inches(mm_per_h), 2) + " in/h" : fixed(mm_per_h, 1) + " mm/h";
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
    if (days_per_week > 0.0 && days_per_week < 0.95) {
        return "1/" + fixed(1.0 / days_per_week, 0);
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
    const std::int64_t whole = rounded_to_integer(minutes, 0);
    if (whole < 60) return minutes_number(minutes) + " min";
    const std::string rest = whole % 60 == 0 ? "" : " " + std::to_string(whole % 60) + " min";
    return std::to_string(whole / 60) + " h" + rest;
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
