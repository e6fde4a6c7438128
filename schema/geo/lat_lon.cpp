#include "schema/geo/lat_lon.hpp"

#include <cmath>
#include <numbers>

#include "schema/geo/sphere.hpp"

namespace thirstline {

namespace {
constexpr std::int64_t kFullCircleE7 = 360 * kE7PerDegree;
constexpr std::int64_t kHalfCircleE7 = 180 * kE7PerDegree;
constexpr double kRadiansPerDegree = std::numbers::pi / 180.0;
}  // namespace

std::int32_t normalised_lon_e7(std::int64_t lon_e7) {
    std::int64_t east_of_dateline = (lon_e7 + kHalfCircleE7) % kFullCircleE7;
    if (east_of_dateline < 0) east_of_dateline += kFullCircleE7;
    return static_cast<std::int32_t>(east_of_dateline - kHalfCircleE7);
}

double normalised_lon_deg(double lon_deg) {
    const double turned = lon_deg - 360.0 * std::floor((lon_deg + 180.0) / 360.0);
    return turned >= 180.0 ? turned - 360.0 : turned;
}

LatLonE7 to_e7(LatLon position) {
    return {static_cast<std::int32_t>(std::llround(position.lat_deg * kE7PerDegree)),
            normalised_lon_e7(std::llround(position.lon_deg * kE7PerDegree))};
}

LatLon to_degrees(LatLonE7 position) {
    return {static_cast<double>(position.lat_e7) / kE7PerDegree,
            static_cast<double>(position.lon_e7) / kE7PerDegree};
}

double great_circle_km(LatLon a, LatLon b) {
    const double lat_a = a.lat_deg * kRadiansPerDegree;
    const double lat_b = b.lat_deg * kRadiansPerDegree;
    const double sin_half_dlat = std::sin((lat_b - lat_a) / 2.0);
    const double sin_half_dlon = std::sin((b.lon_deg - a.lon_deg) * kRadiansPerDegree / 2.0);
    const double h = sin_half_dlat * sin_half_dlat +
                     std::cos(lat_a) * std::cos(lat_b) * sin_half_dlon * sin_half_dlon;
    return 2.0 * kEarthRadiusKm * std::asin(std::sqrt(h < 1.0 ? h : 1.0));
}

}  // namespace thirstline
