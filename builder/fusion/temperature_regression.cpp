#include "builder/fusion/temperature_regression.hpp"

#include "builder/fusion/nearest_stations.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kMinStationsOfSlope = 40;
constexpr std::size_t kNeighboursOfSlope = 8;

/// Sums of squares and products of the differences from the neighbours' means, for one month.
struct Products {
    double mean_mean = 0.0;
    double range_range = 0.0;
    double mean_range = 0.0;
    double mean_driver = 0.0;
    double range_driver = 0.0;

    void add(double mean, double range, double driver) {
        mean_mean += mean * mean;
        range_range += range * range;
        mean_range += mean * range;
        mean_driver += mean * driver;
        range_driver += range * driver;
    }
};

}  // namespace

TemperatureSlopes temperature_slopes(const std::vector<ResidualTriple>& stations) {
    TemperatureSlopes slopes;
    if (stations.size() < kMinStationsOfSlope) return slopes;
    std::vector<LatLon> positions;
    for (const ResidualTriple& station : stations) positions.push_back(station.position);
    const auto nearest = nearest_stations(positions, kNeighboursOfSlope);
    Monthly<Products> products{};
    for (std::size_t i = 0; i < stations.size(); ++i) {
        for (std::size_t month = 0; month < kMonths; ++month) {
            double mean = stations[i].mean_temperature[month];
            double range = stations[i].temperature_range[month];
            double driver = stations[i].driver[month];
            for (const std::size_t other : nearest[i]) {
                mean -= stations[other].mean_temperature[month] / kNeighboursOfSlope;
                range -= stations[other].temperature_range[month] / kNeighboursOfSlope;
                driver -= stations[other].driver[month] / kNeighboursOfSlope;
            }
            products[month].add(mean, range, driver);
        }
    }
    for (std::size_t month = 0; month < kMonths; ++month) {
        const Products& p = products[month];
        const double determinant = p.mean_mean * p.range_range - p.mean_range * p.mean_range;
        if (determinant <= 1e-6 * p.mean_mean * p.range_range) continue;
        slopes.of_mean[month] =
            (p.range_range * p.mean_driver - p.mean_range * p.range_driver) / determinant;
        slopes.of_range[month] =
            (p.mean_mean * p.range_driver - p.mean_range * p.mean_driver) / determinant;
    }
    return slopes;
}

}  // namespace thirstline
