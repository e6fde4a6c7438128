#include "builder/records/record_findings.hpp"

#include <algorithm>
#include <cmath>

namespace thirstline {

void EtoComparison::add(double reported_mm_per_day, double computed_mm_per_day) {
    const double by = reported_mm_per_day - computed_mm_per_day;
    ++days;
    reported_mm += reported_mm_per_day;
    computed_mm += computed_mm_per_day;
    difference += by;
    squared_difference += by * by;
}

double EtoComparison::ratio() const {
    return days == 0 ? std::nan("") : reported_mm / computed_mm;
}

double EtoComparison::spread_mm_per_day() const {
    if (days == 0) return std::nan("");
    const double count = static_cast<double>(days);
    const double mean = difference / count;
    return std::sqrt(std::max(0.0, squared_difference / count - mean * mean));
}

}  // namespace thirstline
