// Estimates one driver at a place: its background, the part that correlates with temperature, and
// the stations' residuals, with the error observed at left-out stations.
//
// Thread safety: immutable after construction; any number of threads may use it.
#pragma once

#include <atomic>
#include <functional>
#include <optional>
#include <vector>

#include "builder/fusion/driver_trend.hpp"
#include "builder/fusion/drivers.hpp"
#include "builder/fusion/residual_field.hpp"
#include "builder/fusion/temperature_regression.hpp"

namespace thirstline {

/// A driver's year at one station. All of `own` is known; so are the residuals of the temperatures
/// if the driver correlates with them.
struct DriverAtStation {
    std::size_t place = 0;  ///< the caller's number for the station
    ResidualSite site;
    Monthly<double> own{};
    Monthly<double> background = kUnknownYear;  ///< of the grids; NaN if there is none
    Monthly<double> mean_temperature_residual = kUnknownYear;
    Monthly<double> temperature_range_residual = kUnknownYear;
    double noise = 1.0;
    bool is_typical_year = false;
};

/// Whether humidity, wind and clearness correlate with the residuals of temperature.
[[nodiscard]] bool goes_with_temperature(Driver driver);

/// Evidence for and against a station that differs from its neighbours: the year in display units
/// (year_as_read), from the station and from both references.
struct NeighbourEvidence {
    double own = 0.0;
    double of_neighbours = 0.0;
    double of_background = 0.0;
    double nearest_km = 0.0;
    double yearly_misfit = 0.0;  ///< in the driver's unit
    bool is_kept = false;        ///< a possibly correct extreme: used, with a larger error
};

/// Called with the caller's number of each such station.
using DriverRejection = std::function<void(std::size_t place, const NeighbourEvidence& evidence)>;

struct DriverEstimate {
    Monthly<double> value{};
    Monthly<double> standard_error{};
    double nearest_km = 0.0;
    double fading = 1.0;  ///< share of the stations' correction at the place
};

class DriverEstimator {
  public:
    /// With `has_grid` the stations' backgrounds are used, and stations without one are skipped;
    /// otherwise the background is a trend through the stations.
    DriverEstimator(Driver driver, const std::vector<DriverAtStation>& stations, bool has_grid,
                    const DriverRejection& on_rejection,
                    const std::atomic<bool>* interrupted = nullptr);

    /// Nothing without stations, or if the background is unknown.
    [[nodiscard]] std::optional<DriverEstimate> at(
        const ResidualSite& site, const Monthly<double>& grid_background,
        const Monthly<double>& mean_temperature_residual,
        const Monthly<double>& temperature_range_residual,
        const std::optional<LeftOut>& left_out) const;

    /// The background of the estimate: the grids', or the trend.
    [[nodiscard]] Monthly<double> background_at(const ResidualSite& site,
                                                const Monthly<double>& grid_background) const;

    /// Overall difference of typical years from long-term normals; 0 if unknown.
    [[nodiscard]] const Monthly<double>& typical_offset() const { return typical_offset_; }

    /// Null without stations.
    [[nodiscard]] const CovarianceModel* covariance() const {
        return field_ ? &field_->model() : nullptr;
    }
    [[nodiscard]] bool has_trend() const { return trend_.has_value(); }
    [[nodiscard]] bool has_stations() const { return field_.has_value(); }
    /// The caller's numbers of the stations in use, in the order of the field's.
    [[nodiscard]] const std::vector<std::size_t>& places() const { return places_; }

  private:
    [[nodiscard]] Monthly<double> from_temperature(const Monthly<double>& mean_residual,
                                                   const Monthly<double>& range_residual) const;

    Driver driver_;
    std::optional<DriverTrend> trend_;
    std::optional<TemperatureSlopes> slopes_;
    std::optional<ResidualField> field_;
    std::vector<std::size_t> places_;
    Monthly<double> typical_offset_{};
    Monthly<double> overall_difference_{};
    double error_factor_ = 1.0;
};

/// The growth of a driver's error with its value: errors of rain roots are larger where it rains
/// more.
[[nodiscard]] double error_level(Driver driver, double value);

}  // namespace thirstline
