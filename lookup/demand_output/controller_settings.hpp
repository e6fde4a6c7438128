// What to key into a controller: whole minutes, where the plan has fractions.
//
// Runs are rounded so that the zone gets what the plan asks, or a little more; a cycle never grows
// past its run-off limit, nor a night past its window.
//
// Thread safety: pure functions.
#pragma once

#include <optional>

#include "lookup/demand_output/demand_report.hpp"

namespace thirstline {

struct CycleSetting {
    int cycles_per_day = 0;
    double minutes_per_cycle = 0.0;  ///< whole, unless the longest cycle is below a minute
    friend bool operator==(const CycleSetting&, const CycleSetting&) = default;
};

/// A total that is short by no more than this share of it is not rounded up: eight minutes are
/// keyed in for 8.1.
inline constexpr double kNegligibleShare = 0.02;

/// `minutes_per_day` in `cycles_per_day` runs of one length as the plan has them, none longer than
/// `longest_cycle_minutes`. `spare_minutes` is what the day's window has left; empty: no limit.
/// Where whole minutes would not fit, the plan's own fractions stay.
[[nodiscard]] CycleSetting cycle_setting(double minutes_per_day, int cycles_per_day,
                                         std::optional<double> longest_cycle_minutes,
                                         std::optional<double> spare_minutes);

/// Minutes that are free in the longest night of the plan; empty without a window.
[[nodiscard]] std::optional<double> spare_minutes_of_night(const DemandReport& report);

/// The setting of a zone's base run.
[[nodiscard]] CycleSetting base_setting(const DemandReport& report, const ZonePlan& zone);

}  // namespace thirstline
