#include "builder/fusion/driver_trend.hpp"

#include <Eigen/Dense>
#include <limits>

namespace thirstline {

namespace {
constexpr std::size_t kMinForPlane = 20;
constexpr std::size_t kMinForLine = 6;
}  // namespace

DriverTrend::DriverTrend(const std::vector<TrendStation>& stations) {
    if (stations.empty()) {
        for (Coefficients& month : months_)
            month.constant = std::numeric_limits<double>::quiet_NaN();
        return;
    }
    middle_lon_deg_ = stations.front().position.lon_deg;
    const auto rows = static_cast<Eigen::Index>(stations.size());
    const Eigen::Index columns = stations.size() >= kMinForPlane  ? 4
                                 : stations.size() >= kMinForLine ? 2
                                                                  : 1;
    Eigen::MatrixXd places(rows, columns);
    Eigen::MatrixXd values(rows, kMonths);
    for (Eigen::Index row = 0; row < rows; ++row) {
        const TrendStation& station = stations[static_cast<std::size_t>(row)];
        places(row, 0) = 1.0;
        if (columns > 1) places(row, 1) = station.elevation_m / 1000.0;
        if (columns > 2) {
            places(row, 2) = station.position.lat_deg;
            places(row, 3) = normalised_lon_deg(station.position.lon_deg - middle_lon_deg_);
        }
        for (Eigen::Index month = 0; month < kMonths; ++month)
            values(row, month) = station.values[static_cast<std::size_t>(month)];
    }
    const Eigen::MatrixXd solved = places.colPivHouseholderQr().solve(values);
    for (Eigen::Index month = 0; month < kMonths; ++month) {
        Coefficients& coefficients = months_[static_cast<std::size_t>(month)];
        coefficients.constant = solved(0, month);
        if (columns > 1) coefficients.per_km = solved(1, month);
        if (columns > 2) {
            coefficients.per_lat = solved(2, month);
            coefficients.per_lon = solved(3, month);
        }
    }
}

Monthly<double> DriverTrend::at(LatLon position, double elevation_m) const {
    Monthly<double> values{};
    for (std::size_t month = 0; month < kMonths; ++month) {
        const Coefficients& c = months_[month];
        values[month] = c.constant + c.per_lat * position.lat_deg +
                        c.per_lon * normalised_lon_deg(position.lon_deg - middle_lon_deg_) +
                        c.per_km * elevation_m / 1000.0;
    }
    return values;
}

}  // namespace thirstline
