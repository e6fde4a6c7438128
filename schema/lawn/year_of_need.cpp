#include "schema/lawn/year_of_need.hpp"

#include <algorithm>
#include <cmath>

#include "schema/lawn/scs_effective_rain.hpp"

namespace thirstline {

double lawn_need_mm(double eto_mm, double rain_mm) {
    const double need_mm = kLawnCoefficient * eto_mm;
    return std::max(0.0, need_mm - scs_effective_rain_mm(rain_mm, need_mm, kLawnUsableStorageMm));
}

double lawn_need_of_year_mm(const Monthly<double>& eto_mm, const Monthly<double>& rain_mm) {
    double sum = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month)
        sum += lawn_need_mm(eto_mm[month], rain_mm[month]);
    return sum;
}

double share_of_deviate(double deviate) {
    return 0.5 * std::erfc(-deviate / std::sqrt(2.0));
}

double deviate_of_share(double share) {
    // Bisection: beyond 8 standard deviations a double has no share between 0 and 1.
    double low = -8.0;
    double high = 8.0;
    for (int step = 0; step < 60; ++step) {
        const double middle = (low + high) / 2.0;
        (share_of_deviate(middle) < share ? low : high) = middle;
    }
    return (low + high) / 2.0;
}

MonthFactors month_factors(const YearSlopes& slopes, std::size_t month, double deviate) {
    const double moved = deviate - slopes.deviate_of_normals;
    return {std::max(0.0, 1.0 + moved * slopes.eto_share[month]),
            std::max(0.0, 1.0 + moved * slopes.rain_share[month])};
}

}  // namespace thirstline
