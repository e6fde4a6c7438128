// Start times of the valves in a watering night that several zones share: one window, one flow, and
// soak time between a zone's cycles.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "lookup/demand/cycle_and_soak.hpp"
#include "lookup/demand/watering_days.hpp"

namespace thirstline {

/// Limits on valves that are open together.
struct ValveLimits {
    int valves_at_once = 1;
    std::optional<double> flow_l_per_min;  ///< of all open valves together
};

/// A zone's part in its nights.
struct NightRun {
    Cycles cycles;  ///< a count of 0: it does not run
    double flow_l_per_min = 0.0;
};

/// Slots of a DayPattern.
inline constexpr int kNightSlots = 31;

/// The zones, by index, that run in the same night.
using Night = std::vector<std::size_t>;

struct NightLayout {
    std::vector<std::vector<double>> starts;  ///< of each zone's cycles, minutes from the first
    double minutes = 0.0;                     ///< until the last valve closes
};

/// Every combination of zones that run in the same night, each once. If some zones go by weekday
/// and others by date, any of their nights may coincide. Zones with `days` without slots do not
/// run.
[[nodiscard]] std::vector<Night> different_nights(const std::vector<DayPattern>& days);

/// One set of start times for all nights: in no night are more valves open than the limits allow.
/// The shorter of two orders: in one, the zones run in the order given, one cycle each, without
/// those that still soak; in the other, the zone with the longest time to its end runs next. The
/// soak time after a zone's last cycle does not count.
[[nodiscard]] NightLayout night_layout(const std::vector<NightRun>& runs,
                                       const std::vector<Night>& nights, const ValveLimits& limits);

/// Minutes of a single night, one valve open at a time.
[[nodiscard]] double night_minutes(const std::vector<Cycles>& zones);

}  // namespace thirstline
