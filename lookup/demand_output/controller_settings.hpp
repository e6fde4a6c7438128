// What to key into a controller: whole minutes, where the plan has fractions.
//
// Runs are rounded so that the zone gets what the plan asks, or a little more; a cycle never grows
// past its run-off limit, nor a night past its window.
#pragma once

#include <optional>

#include "lookup/demand_output/demand_report.hpp"

namespace thirstline {

struct CycleSetting {
    int cycles_per_day = 0;
    double minutes_per_cycle = 0.0;  ///< whole, unless the longest cycle is below a minute
    friend bool operator==(const CycleSetting&, const CycleSetting&) = default;
};

/// Rounding down is allowed if it takes no more than this share of the run: eight minutes are keyed
/// in for 8.2. It is small beside what is not known of the need.
inline constexpr double kNegligibleShare = 0.04;

/// What the plan has, and what leaves room for rounding.
struct PlannedCycles {
    int cycles_per_day = 0;
    double minutes_per_cycle = 0.0;
    double soak_minutes = 0.0;
    std::optional<double> longest_cycle_minutes;
    std::optional<double> spare_minutes;  ///< of the night's window; empty: no limit
    bool may_add_cycle = true;            ///< no rule limits the number of runs
};

/// Whole minutes, to the nearest, else up; in one cycle more where they would pass the run-off
/// limit. Where neither fits soil and night, the plan's own fractions stay.
[[nodiscard]] CycleSetting cycle_setting(const PlannedCycles& planned);

/// Minutes that are free in the longest night of the plan; empty without a window.
[[nodiscard]] std::optional<double> spare_minutes_of_night(const DemandReport& report);

/// The setting of a zone's base run.
[[nodiscard]] CycleSetting base_setting(const DemandReport& report, const ZonePlan& zone);

/// The setting of a zone in a month.
[[nodiscard]] CycleSetting month_setting(const DemandReport& report, const ZonePlan& zone,
                                         const ZoneMonth& month);

}  // namespace thirstline
