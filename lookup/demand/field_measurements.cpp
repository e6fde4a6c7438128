#include "lookup/demand/field_measurements.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>

#include "lookup/demand/exact_units.hpp"

namespace thirstline {
namespace {

double mean_of_first(const std::vector<double>& values, std::size_t count) {
    const auto end = values.begin() + static_cast<std::ptrdiff_t>(count);
    return std::accumulate(values.begin(), end, 0.0) / static_cast<double>(count);
}

}  // namespace

CatchCanTest catch_can_test(std::vector<double> depths_mm, double minutes) {
    std::sort(depths_mm.begin(), depths_mm.end());
    const std::size_t quarter = std::max<std::size_t>(
        1, static_cast<std::size_t>(std::lround(static_cast<double>(depths_mm.size()) / 4.0)));
    const double mean = mean_of_first(depths_mm, depths_mm.size());
    return {mean * kMinutesPerHour / minutes, mean_of_first(depths_mm, quarter) / mean};
}

std::optional<SoilTexture> soil_texture(double sand_percent, double clay_percent) {
    const double silt_percent = 100.0 - sand_percent - clay_percent;
    if (!(sand_percent >= 0.0) || !(clay_percent >= 0.0) || !(silt_percent >= -1e-9))
        return std::nullopt;
    using enum SoilTexture;
    if (silt_percent + 1.5 * clay_percent < 15.0) return SoilTexture::sand;
    if (silt_percent + 2.0 * clay_percent < 30.0) return loamy_sand;
    if (clay_percent >= 40.0) {
        if (silt_percent >= 40.0) return silty_clay;
        return sand_percent <= 45.0 ? SoilTexture::clay : sandy_clay;
    }
    if (clay_percent >= 35.0 && sand_percent > 45.0) return sandy_clay;
    if (clay_percent >= 27.0) {
        if (sand_percent <= 20.0) return silty_clay_loam;
        if (sand_percent <= 45.0) return clay_loam;
    }
    if (clay_percent >= 20.0 && silt_percent < 28.0 && sand_percent > 45.0) return sandy_clay_loam;
    if (silt_percent >= 80.0 && clay_percent < 12.0) return SoilTexture::silt;
    if (silt_percent >= 50.0) return silt_loam;
    if (clay_percent >= 7.0 && silt_percent >= 28.0 && sand_percent <= 52.0) return loam;
    return sandy_loam;
}

}  // namespace thirstline
