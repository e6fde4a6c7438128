// Stations that report reference ET itself: what they differ by from the ETo that was computed from
// the drivers at their place, carried to any place by the same kriging as the drivers' residuals.
//
// The residual is ln((ETo of the station + 0.1) / (ETo computed + 0.1)), mm/day, so that no
// estimate is negative and a month without ETo stays one. Stations at one of which the year lacks a
// month say nothing. Where the stations' correction reaches, its left-out error is the error of
// ETo; where it has faded away (residual_field.hpp), the drivers' error is; between, the variances
// mix as the correction does.
//
// Thread safety: does not change once made; any number of threads may ask.
#pragma once

#include <atomic>
#include <functional>
#include <optional>
#include <vector>

#include "builder/fusion/residual_field.hpp"

namespace thirstline {

/// Both known in every month.
struct EtoAtStation {
    std::size_t place = 0;  ///< the caller's number, by which it can be left out
    ResidualSite site;
    Monthly<double> reported_mm_per_day{};
    Monthly<double> computed_mm_per_day{};
    double noise = 1.0;  ///< above 1 for a short record
};

/// Called with the caller's number of a station that differs from its neighbours beyond belief, and
/// by what share over the year.
using EtoRejection = std::function<void(std::size_t place, double yearly_share)>;

class EtoStations {
  public:
    /// Without stations: nothing is ever moved.
    EtoStations() = default;
    EtoStations(const std::vector<EtoAtStation>& stations, const EtoRejection& on_rejection,
                const std::atomic<bool>* interrupted = nullptr);

    [[nodiscard]] bool has_stations() const { return field_.has_value(); }

    /// The computed year, mm/day, moved to what the stations say.
    struct Moved {
        Monthly<double> eto_mm_per_day{};
        Monthly<double> se_mm_per_day{};
        double fading = 0.0;  ///< share of the stations' correction that reaches the place
    };
    [[nodiscard]] Moved moved(const ResidualSite& site, const Monthly<double>& eto_mm_per_day,
                              const Monthly<double>& se_mm_per_day,
                              const std::optional<LeftOut>& left_out = std::nullopt) const;

  private:
    std::optional<ResidualField> field_;
    double error_factor_ = 1.0;
};

}  // namespace thirstline
