#include "lookup/demand/quantity_text.hpp"

#include <cmath>

#include "lookup/demand/exact_units.hpp"
#include "schema/text/double_text.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

std::string in_both(double metric, int metric_decimals, const char* metric_unit, double us,
                    int us_decimals, const char* us_unit) {
    return fixed(metric, metric_decimals) + ' ' + metric_unit + " (" + fixed(us, us_decimals) +
           ' ' + us_unit + ')';
}

}  // namespace

std::string depth_text(double mm) {
    return in_both(mm, 1, "mm", mm / kMmPerInch, 2, "in");
}

std::string rate_text(double mm_per_h) {
    return in_both(mm_per_h, 1, "mm/h", mm_per_h / kMmPerInch, 2, "in/hr");
}

std::string available_water_text(double mm_per_m) {
    const double in_per_ft = mm_per_m * kMetresPerFoot / kMmPerInch;
    return in_both(mm_per_m, 0, "mm/m", in_per_ft, 2, "in/ft");
}

std::string soil_depth_text(double mm) {
    return in_both(mm, 0, "mm", mm / kMmPerInch, 0, "in");
}

std::string volume_text(double litres) {
    return in_both(litres, 0, "L", litres / kLitresPerGallon, 0, "gal");
}

std::string flow_text(double l_per_min) {
    return in_both(l_per_min, 1, "L/min", l_per_min / kLitresPerGallon, 1, "gpm");
}

std::string area_text(double m2) {
    return in_both(m2, 1, "m²", m2 / kM2PerFt2, 0, "ft²");
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
