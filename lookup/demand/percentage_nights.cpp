#include "lookup/demand/percentage_nights.hpp"

#include <algorithm>
#include <utility>

namespace thirstline {
namespace {

std::vector<Night> nights_of_month(const std::vector<BaseRunDays>& zones, std::size_t month) {
    std::vector<DayPattern> days;
    for (const BaseRunDays& zone : zones)
        days.push_back(zone.base.count > 0 ? zone.days[month] : DayPattern{});
    return different_nights(days);
}

Cycles at_percent(Cycles cycles, int percent) {
    if (percent == 0) return {};
    cycles.minutes_each *= percent / 100.0;
    return in_clock_minutes(cycles);
}

}  // namespace

std::vector<Night> nights_of_months(const std::vector<BaseRunDays>& zones,
                                    const Monthly<bool>& months) {
    std::vector<Night> nights;
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (!months[m]) continue;
        for (Night& night : nights_of_month(zones, m))
            if (std::find(nights.begin(), nights.end(), night) == nights.end())
                nights.push_back(std::move(night));
    }
    return nights;
}

NightLayout base_layout(const std::vector<BaseRunDays>& zones, const std::vector<Night>& nights,
                        const ValveLimits& valves) {
    std::vector<NightRun> runs;
    for (const BaseRunDays& zone : zones)
        runs.push_back({in_clock_minutes(zone.base), zone.flow_l_per_min});
    return night_layout(runs, nights, valves);
}

double base_night_minutes(const std::vector<BaseRunDays>& zones, const Night& night,
                          const ValveLimits& valves) {
    std::vector<NightRun> runs(zones.size());
    for (const std::size_t z : night)
        runs[z] = {in_clock_minutes(zones[z].base), zones[z].flow_l_per_min};
    return night_layout(runs, {night}, valves).minutes;
}

NightLayout layout_at_percents(const std::vector<BaseRunDays>& zones, std::size_t month,
                               const std::vector<int>& percents, const ValveLimits& valves) {
    std::vector<NightRun> runs;
    for (std::size_t z = 0; z < zones.size(); ++z) {
        const bool is_on = zones[z].days[month].slots != 0;
        runs.push_back(
            {is_on ? at_percent(zones[z].base, percents[z]) : Cycles{}, zones[z].flow_l_per_min});
    }
    return night_layout(runs, nights_of_month(zones, month), valves);
}

}  // namespace thirstline
