// What a station says of the scored variables, and what others would say of it from their
// neighbourhood: the nearest station, and the mean of several by distance.
//
// Thread safety: does not change once made; any number of threads may ask.
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

/// Of one station. Unknown (NaN) is what it does not measure, and what was rejected. Reference ET
/// by Penman–Monteith is known where all its drivers are, in every month.
struct Observation {
    LatLon position;
    ScoredYear values = unknown_scored_year();  ///< without the derived ones
    DriverYear drivers{};
};

/// Temperatures of a typical year count only if `counts_typical_years`: its months are single ones,
/// and its extremes are those of whole hours.
[[nodiscard]] Observation observation_of(const StationPlace& place, const EtOptions& options,
                                         bool counts_typical_years);

/// What stations must measure to stand in for one another.
enum class Measured { temperature, rain, all_drivers };
inline constexpr std::size_t kMeasured = 3;
[[nodiscard]] Measured measured_for(ScoredVariable variable);

struct NearbyStation {
    std::size_t observation = 0;
    double km = 0.0;
};

class Neighbourhood {
  public:
    /// The observations must outlive it; their index is the number by which LeftOut knows them.
    explicit Neighbourhood(std::span<const Observation> observations);

    /// The nearest that measure it in every month and are not left out, by rising distance.
    [[nodiscard]] std::vector<NearbyStation> nearest(Measured measured, std::size_t count,
                                                     LatLon position,
                                                     const LeftOut& left_out) const;
    /// Infinite where there is none.
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
