#include "builder/reference_et/lapse_rates.hpp"

#include <algorithm>

namespace thirstline {
namespace {

constexpr double kTropicDeg = 23.44;
constexpr Monthly<double> kNorthernLapse{0.41, 0.42, 0.40, 0.39, 0.38, 0.36,
                                         0.33, 0.33, 0.36, 0.37, 0.40, 0.40};

}  // namespace

double vapour_pressure_lapse_per_km(double lat_deg, int month) {
    const double northern = std::clamp(0.5 + lat_deg / (2.0 * kTropicDeg), 0.0, 1.0);
    const int opposite = (month + kMonths / 2) % kMonths;
    return northern * kNorthernLapse[month] + (1.0 - northern) * kNorthernLapse[opposite];
}

LapseRates default_lapse_rates(double lat_deg) {
    LapseRates rates;
    rates.tmax_c_per_km.fill(6.5);
    rates.tmin_c_per_km.fill(4.5);
    for (int month = 0; month < kMonths; ++month)
        rates.vapour_pressure_per_km[month] = vapour_pressure_lapse_per_km(lat_deg, month);
    return rates;
}

}  // namespace thirstline
