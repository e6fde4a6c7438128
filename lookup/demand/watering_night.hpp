// When the valves open in a watering night that several zones share: one window, one flow, and
// time between a zone's cycles for the water to soak in.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "lookup/demand/cycle_and_soak.hpp"
#include "lookup/demand/watering_days.hpp"

namespace thirstline {

/// What may be open at once.
struct ValveLimits {
    int valves_at_once = 1;
    std::optional<double> flow_l_per_min;  ///< of all open valves together
};

/// A zone's part in its nights.
struct NightRun {
    Cycles cycles;  ///< a count of 0: it takes no part
    double flow_l_per_min = 0.0;
};

/// The zones, by index, that have a night in common.
using Night = std::vector<std::size_t>;

struct NightLayout {
    std::vector<std::vector<double>> starts;  ///< of each zone's cycles, minutes from the first
    double minutes = 0.0;                     ///< to the last valve's closing
};

/// Every combination of zones that meets in some night, each once. Where some zones go by weekday
/// and others by date, any of those nights may meet. `days` without slots take no part.
[[nodiscard]] std::vector<Night> different_nights(const std::vector<DayPattern>& days);

/// One set of start times for all nights: in none of them are more valves open than the limits
/// allow. The shorter of two orders: in one the turn goes round the zones as given, each running
/// one cycle, passing over those that still soak; in the other the zone runs next that needs
/// longest to its end. The soak after a zone's last cycle does not count.
[[nodiscard]] NightLayout night_layout(const std::vector<NightRun>& runs,
                                       const std::vector<Night>& nights, const ValveLimits& limits);

/// Minutes of a single night, one valve open at a time.
[[nodiscard]] double night_minutes(const std::vector<Cycles>& zones);

}  // namespace thirstline
