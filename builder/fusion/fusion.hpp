// Combines stations with a background: the best estimate of a place's climate, with its error.
//
//     estimate = background + part that correlates with temperature + remaining station residuals
//
// for each driver separately (driver_estimator.hpp), then recombined. Rain is kriged as a
// logarithm, so near stations twice the squared error of its root is added: the mean of a lognormal
// value exceeds its median.
//
// Thread safety: `make` belongs to one thread; after that any number of threads may use it.
#pragma once

#include <array>
#include <atomic>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "builder/background/point_assembly.hpp"
#include "builder/background/survey.hpp"
#include "builder/fusion/driver_estimator.hpp"
#include "builder/fusion/drivers.hpp"
#include "builder/fusion/station_places.hpp"
#include "builder/recipe/recipe.hpp"

namespace thirstline {

struct FusedPoint {
    PointClimate climate;
    DriverYear standard_error{};  ///< by Driver, in its unit; NaN if not estimated
    Monthly<double> rain_se_mm = kUnknownYear;
    /// Whether stations' temperatures reach the point, so that its period is theirs.
    bool is_of_stations_period = false;
};

/// A station that differs from its neighbours in one driver, which is not used unless it is kept.
using NeighbourRejection =
    std::function<void(std::size_t station, Driver driver, const NeighbourEvidence& evidence)>;

/// Without stations (an empty list) the background is never changed, and no error is known.
class Fusion {
  public:
    /// `has_grid` by Driver: whether grids give it, so that they are its background. Once
    /// `interrupted` is true the rest is not computed, and the fusion must not be used.
    Fusion(std::vector<StationPlace> places, const std::array<bool, kDrivers>& has_grid,
           ReferenceSurface reference, double reach_km, const NeighbourRejection& on_rejection,
           const std::atomic<bool>* interrupted = nullptr);
    Fusion(Fusion&&) noexcept = default;

    [[nodiscard]] bool has_stations() const { return !places_.empty(); }
    [[nodiscard]] const std::vector<StationPlace>& places() const { return places_; }
    [[nodiscard]] const DriverEstimator& estimator(Driver driver) const {
        return estimators_[static_cast<std::size_t>(driver)];
    }

    /// The background corrected by the stations. `left_out` must not list stations by number: only
    /// those within its distance are left out.
    [[nodiscard]] FusedPoint at(const PointClimate& background, const ResidualSite& site,
                                const MonthlySun& sun,
                                const std::optional<LeftOut>& left_out = std::nullopt) const;

    /// Standard error of ETo, mm/day, for a fused point: see eto_error.hpp.
    [[nodiscard]] Monthly<double> eto_se_mm_per_day(const FusedPoint& point, const MonthlySun& sun,
                                                    const Surroundings& surroundings,
                                                    const ReferenceEtProfile& profile) const;

    [[nodiscard]] double eto_error_factor() const { return eto_error_factor_; }

    /// Factor for the estimated change of rain with elevation: rain_share.hpp.
    [[nodiscard]] double rain_share_factor() const { return rain_share_factor_; }

  private:
    void calibrate_eto();
    void calibrate_rain_share();
    [[nodiscard]] Monthly<double> left_out_rain_mm(const StationPlace& place,
                                                   double elevation_m) const;

    std::vector<StationPlace> places_;
    std::vector<DriverEstimator> estimators_;
    ReferenceSurface reference_;
    double reach_km_;
    double eto_error_factor_;
    double rain_share_factor_;
};

/// Whether there are so many stations with long-term normals that typical years are not scored.
[[nodiscard]] bool has_enough_normals(const std::vector<StationPlace>& places);

/// The drivers that the grids of a recipe give.
[[nodiscard]] std::array<bool, kDrivers> drivers_of_grids(const Recipe& recipe);

}  // namespace thirstline
