#include "lookup/demand/quantity_text.hpp"

#include <cmath>

#include "lookup/demand/exact_units.hpp"
#include "schema/text/double_text.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

Phrase in_both(double metric, int metric_decimals, TextKey metric_unit, double us, int us_decimals,
               TextKey us_unit) {
    return Phrase::in_both_units(Phrase::joined({fixed(metric, metric_decimals), metric_unit}, " "),
                                 Phrase::joined({fixed(us, us_decimals), us_unit}, " "));
}

}  // namespace

Phrase depth_phrase(double mm) {
    return in_both(mm, 1, "unit.mm"_text, mm / kMmPerInch, 2, "unit.in"_text);
}

Phrase rate_phrase(double mm_per_h) {
    return in_both(mm_per_h, 1, "unit.mm_per_h"_text, mm_per_h / kMmPerInch, 2,
                   "unit.in_per_hr"_text);
}

Phrase available_water_phrase(double mm_per_m) {
    const double in_per_ft = mm_per_m * kMetresPerFoot / kMmPerInch;
    return in_both(mm_per_m, 0, "unit.mm_per_m"_text, in_per_ft, 2, "unit.in_per_ft"_text);
}

Phrase soil_depth_phrase(double mm) {
    return in_both(mm, 0, "unit.mm"_text, mm / kMmPerInch, 0, "unit.in"_text);
}

Phrase volume_phrase(double litres) {
    return in_both(litres, 0, "unit.l"_text, litres / kLitresPerGallon, 0, "unit.gal"_text);
}

Phrase flow_phrase(double l_per_min) {
    return in_both(l_per_min, 1, "unit.l_per_min"_text, l_per_min / kLitresPerGallon, 1,
                   "unit.gpm"_text);
}

Phrase area_phrase(double m2) {
    return in_both(m2, 1, "unit.m2"_text, m2 / kM2PerFt2, 0, "unit.ft2"_text);
}

Phrase temperature_phrase(double celsius) {
    return in_both(celsius, 0, "unit.celsius"_text, celsius * 1.8 + 32.0, 0,
                   "unit.fahrenheit"_text);
}

std::string iso_date(const CalendarDay& day) {
    const auto digits = [](int value, std::size_t count) {
        std::string text = std::to_string(value);
        return text.insert(0, text.size() < count ? count - text.size() : 0, '0');
    };
    return digits(day.year, 4) + "-" + digits(day.month, 2) + "-" + digits(day.day, 2);
}

std::string duration_text(double minutes) {
    const auto whole = static_cast<long>(std::ceil(minutes - 1e-6));
    if (whole < 60) return std::to_string(whole) + " min";
    std::string text = std::to_string(whole / 60) + " h";
    if (whole % 60 != 0) text += ' ' + std::to_string(whole % 60) + " min";
    return text;
}

std::string minutes_text(double minutes) {
    return std::to_string(static_cast<long>(std::ceil(minutes - 1e-6))) + " min";
}

std::string clock_text(double minutes_after_midnight) {
    constexpr int kDayMinutes = 24 * 60;
    const int minutes = static_cast<int>(std::floor(minutes_after_midnight + 1e-6)) % kDayMinutes;
    const auto two_digits = [](int value) {
        return (value < 10 ? "0" : "") + std::to_string(value);
    };
    return two_digits(minutes / 60) + ":" + two_digits(minutes % 60);
}

std::string number_text(double value) {
    return shortest_text(value);
}

std::string percent_text(double share) {
    return fixed(share * 100.0, 0) + "%";
}

}  // namespace thirstline
