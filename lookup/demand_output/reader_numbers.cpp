#include "lookup/demand_output/reader_numbers.hpp"

#include <algorithm>
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

std::string with_unit(std::string number, TextKey unit, const TextStyle& style) {
    return std::move(number) + " " + std::string(text_of(unit, style.language));
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

}  // namespace

std::string depth_with_unit(double mm, const TextStyle& style) {
    return depth_text(mm, style) + " " + depth_unit(style);
}

std::string volume_number(double litres, const TextStyle& style) {
    return with_thousands_apart(is_us(style) ? litres / kLitresPerGallon : litres, 0);
}

std::string_view volume_unit(const TextStyle& style) {
    return text_of(is_us(style) ? "unit.gal"_text : "unit.l"_text, style.language);
}

std::string volume_with_unit(double litres, const TextStyle& style) {
    if (!is_us(style) && std::fabs(litres) >= kLitresPerCubicMetre)
        return with_unit(with_thousands_apart(litres / kLitresPerCubicMetre, 1), "unit.m3"_text,
                         style);
    return volume_number(litres, style) + " " + std::string(volume_unit(style));
}

std::string plant_volume_with_unit(double litres, const TextStyle& style) {
    return with_thousands_apart(is_us(style) ? litres / kLitresPerGallon : litres, 1) + " " +
           std::string(volume_unit(style));
}

std::string area_with_unit(double m2, const TextStyle& style) {
    return is_us(style) ? with_unit(with_thousands_apart(m2 / kM2PerFt2, 0), "unit.ft2"_text, style)
                        : with_unit(with_thousands_apart(m2, 1), "unit.m2"_text, style);
}

std::string rate_with_unit(double mm_per_h, const TextStyle& style) {
    return is_us(style) ? with_unit(fixed(inches(mm_per_h), 2), "unit.in_per_hr"_text, style)
                        : with_unit(fixed(mm_per_h, 1), "unit.mm_per_h"_text, style);
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

Phrase days_number(double days_per_week) {
    for (const int weeks : {2, 4}) {
        if (std::fabs(days_per_week * weeks - 1.0) < 0.02)
            return {"days.every_weeks"_text, {{"weeks", std::to_string(weeks)}}};
    }
    const bool is_whole = std::fabs(days_per_week - std::round(days_per_week)) < 0.05;
    return fixed(days_per_week, is_whole ? 0 : 1);
}

std::string minutes_number(double minutes) {
    const bool is_whole = std::fabs(minutes - std::round(minutes)) < 0.05;
    return fixed(minutes, is_whole ? 0 : 1);
}

std::string run_length(double minutes) {
    // The symbols are the same in both languages.
    if (minutes < 1.0) return fixed(minutes * 60.0, 0) + " s";
    return minutes_number(minutes) + " min";
}

}  // namespace thirstline
