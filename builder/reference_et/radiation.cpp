#include "builder/reference_et/radiation.hpp"

#include <array>
#include <cstddef>

namespace thirstline {

double sunshine_fraction_from_cloud(double cloud_fraction) {
    static constexpr std::array<double, 11> kByTenths{0.95, 0.85, 0.80, 0.75, 0.65, 0.55,
                                                      0.50, 0.40, 0.30, 0.15, 0.0};
    if (std::isnan(cloud_fraction)) return cloud_fraction;
    if (cloud_fraction <= 0.0) return kByTenths.front();
    if (cloud_fraction >= 1.0) return kByTenths.back();
    const double tenths = cloud_fraction * 10.0;
    const auto line = static_cast<std::size_t>(tenths);
    const double beyond = tenths - static_cast<double>(line);
    return kByTenths[line] + beyond * (kByTenths[line + 1] - kByTenths[line]);
}

}  // namespace thirstline
