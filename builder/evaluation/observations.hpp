// A station's values of the scored variables, and the estimates of them from its neighbourhood: the
// nearest station, and the mean of several by distance.
//
// Thread safety: immutable after construction; any number of threads may use it.
#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "builder/background/sphere_tree.hpp"
#include "builder/evaluation/scored_variables.hpp"
#include "builder/fusion/drivers.hpp"
#include "builder/fusion/residual_field.hpp"
#include "builder/fusion/station_places.hpp"

namespace thirstline {

/// For one station. Variables that it does not measure, or that were rejected, are unknown (NaN).
/// Reference ET by Penman–Monteith is known if all its drivers are known in every month.
struct Observation {
    LatLon position;
    ScoredYear values = unknown_scored_year();  ///< without the derived ones
    DriverYear drivers{};
};

/// Temperatures of a typical year are only used with `counts_typical_years`: its months are from
/// single years, and its extremes are those of whole hours.
[[nodiscard]] Observation observation_of(const StationPlace& place, const EtOptions& options,
                                         bool counts_typical_years);

/// Variables that stations must measure to be used as estimates for one another.
enum class Measured { temperature, rain, all_drivers };
inline constexpr std::size_t kMeasured = 3;
[[nodiscard]] Measured measured_for(ScoredVariable variable);

struct NearbyStation {
    std::size_t observation = 0;
    double km = 0.0;
};

class Neighbourhood {
  public:
    /// The observations must outlive it; LeftOut refers to them by index.
    explicit Neighbourhood(std::span<const Observation> observations);

    /// The nearest that measure it in every month and are not left out, in order of distance.
    [[nodiscard]] std::vector<NearbyStation> nearest(Measured measured, std::size_t count,
                                                     LatLon position,
                                                     const LeftOut& left_out) const;
    /// Infinite if there is none.
    [[nodiscard]] double nearest_km(Measured measured, LatLon position) const;

    /// Without the derived values; eto_own_temperature stays unknown.
    [[nodiscard]] ScoredYear mean_of(Measured measured,
                                     const std::vector<NearbyStation>& stations) const;
    [[nodiscard]] DriverYear mean_drivers(const std::vector<NearbyStation>& stations) const;

  private:
    std::span<const Observation> observations_;
    std::array<std::vector<std::size_t>, kMeasured> members_;   ///< observations
    std::array<std::unique_ptr<SphereTree>, kMeasured> trees_;  ///< of the members' places
};

}  // namespace thirstline
