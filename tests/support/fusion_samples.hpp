// Invented stations and random fields with a known covariance, the same in every run.
#pragma once

#include <Eigen/Dense>
#include <cstdint>
#include <random>
#include <vector>

#include "builder/fusion/residual_field.hpp"
#include "builder/fusion/station_places.hpp"

namespace thirstline::test {

class SeededRandom {
  public:
    explicit SeededRandom(std::uint64_t seed) : engine_(seed) {}
    /// 0 to 1.
    [[nodiscard]] double uniform() { return static_cast<double>(engine_() >> 11U) * 0x1.0p-53; }
    [[nodiscard]] double uniform(double least, double most) {
        return least + (most - least) * uniform();
    }
    /// Standard normal, by the Box–Muller method.
    [[nodiscard]] double normal();

  private:
    std::mt19937_64 engine_;
};

struct StationBox {
    double south = 40.0;
    double north = 50.0;
    double west = 5.0;
    double east = 18.0;
};

/// Random positions in the box, 0 to 2 km high, up to 300 m above or below their cells, relief up
/// to 400 m; residuals 0.
[[nodiscard]] std::vector<ResidualStation> scattered_stations(std::size_t count, StationBox box,
                                                              SeededRandom& random);

/// The covariance of residual_field.hpp, implemented a second time.
[[nodiscard]] double covariance_by_hand(const CovarianceModel& model, const ResidualSite& a,
                                        const ResidualSite& b);

/// Gives the stations residuals with the model's covariance, its nugget and its larger error in
/// relief, by Cholesky decomposition; each month separately.
void draw_residuals(std::vector<ResidualStation>& stations, const CovarianceModel& model,
                    SeededRandom& random);

/// A mild climate with all drivers, the same at all places of a latitude.
[[nodiscard]] PointClimate mild_climate(LatLon position, double elevation_m);

/// A station that agrees with the grids, in a mild climate.
[[nodiscard]] StationPlace place_like_its_grids(std::size_t number, LatLon position,
                                                double elevation_m);

/// Places of `scattered_stations`, without residuals.
[[nodiscard]] std::vector<StationPlace> scattered_places(std::size_t count, StationBox box,
                                                         SeededRandom& random);

/// Adds a value to a driver of the station's own in every month.
void shift_own(StationPlace& place, Driver driver, double by);
/// Updates the station's climate after its drivers were changed.
void own_from_drivers(StationPlace& place);

inline constexpr std::array<bool, kDrivers> kAllOfGrids{true, true, true, true, true, true};

/// The same value in every month.
[[nodiscard]] Monthly<double> every_month(double value);

}  // namespace thirstline::test
