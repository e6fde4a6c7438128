// Stations that report reference ET: their differences from the ETo computed from the drivers at
// their place, interpolated to any place by the same kriging as the residuals of the drivers.
//
// The residual is ln((ETo of the station + 0.1) / (ETo computed + 0.1)), mm/day, so that no
// estimate is negative and a month without ETo remains one. Stations with a month missing are not
// used. Where the stations' correction reaches, its left-out error is the error of ETo; where it
// has faded out (residual_field.hpp), the error is that of the drivers; in between, the variances
// are mixed like the correction.
//
// Thread safety: immutable after construction; any number of threads may use it.
#pragma once

#include <atomic>
#include <functional>
#include <optional>
#include <vector>

#include "builder/fusion/residual_field.hpp"

namespace thirstline {

/// Both known in every month.
struct EtoAtStation {
    std::size_t place = 0;  ///< the caller's number, for leaving it out
    ResidualSite site;
    Monthly<double> reported_mm_per_day{};
    Monthly<double> computed_mm_per_day{};
    double noise = 1.0;  ///< above 1 for a short record
};

/// Called with the caller's number of a station that is rejected because it differs from its
/// neighbours, and with the relative difference over the year.
using EtoRejection = std::function<void(std::size_t place, double yearly_share)>;

class EtoStations {
  public:
    /// Without stations: never changes ETo.
    EtoStations() = default;
    EtoStations(const std::vector<EtoAtStation>& stations, const EtoRejection& on_rejection,
                const std::atomic<bool>* interrupted = nullptr);

    [[nodiscard]] bool has_stations() const { return field_.has_value(); }

    /// The computed year, mm/day, corrected by the stations.
    struct Moved {
        Monthly<double> eto_mm_per_day{};
        Monthly<double> se_mm_per_day{};
        double fading = 0.0;  ///< share of the stations' correction at the place
    };
    [[nodiscard]] Moved moved(const ResidualSite& site, const Monthly<double>& eto_mm_per_day,
                              const Monthly<double>& se_mm_per_day,
                              const std::optional<LeftOut>& left_out = std::nullopt) const;

  private:
    std::optional<ResidualField> field_;
    double error_factor_ = 1.0;
};

}  // namespace thirstline
