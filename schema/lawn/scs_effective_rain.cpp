#include "schema/lawn/scs_effective_rain.hpp"

#include <algorithm>
#include <cmath>

#include "schema/base/inch.hpp"

namespace thirstline {

double scs_storage_factor(double usable_storage_mm) {
    const double d = std::min(usable_storage_mm / kMmPerInch, 7.0);
    return 0.531747 + d * (0.295164 + d * (-0.057697 + d * 0.003804));
}

double scs_effective_rain_mm(double rain_mm, double need_mm, double usable_storage_mm) {
    const double rain_in = rain_mm / kMmPerInch;
    const double need_in = need_mm / kMmPerInch;
    const double effective_in = scs_storage_factor(usable_storage_mm) *
                                (0.70917 * std::pow(rain_in, 0.82416) - 0.11556) *
                                std::pow(10.0, 0.02426 * need_in);
    return std::clamp(effective_in * kMmPerInch, 0.0, std::min(rain_mm, need_mm));
}

}  // namespace thirstline
