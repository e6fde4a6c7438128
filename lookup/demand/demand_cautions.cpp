#include "lookup/demand/demand_cautions.hpp"

#include <algorithm>

namespace thirstline {
namespace {

constexpr double kSteepPercent = 7.0;

template <class Predicate>
bool any_zone(const std::vector<Zone>& zones, Predicate predicate) {
    return std::any_of(zones.begin(), zones.end(), predicate);
}

}  // namespace

std::vector<std::string> demand_cautions(const std::vector<Zone>& zones,
                                         const std::vector<ZoneNumbers>& numbers,
                                         const LocalRules& rules) {
    std::vector<std::string> cautions{
        ("Check local watering rules before setting these times. Long-term averages, not a "
         "forecast: check soil and plants and adjust."),
        "Do not run sprinklers at or below freezing: ice on walks and roads causes injuries.",
        "Do not disable a rain or freeze sensor required by local rules.",
        ("Backflow prevention, electrical and pump work must be done by licensed contractors "
         "where the law requires it."),
        "Winterizing with compressed air can cause serious injury: trained persons only.",
    };
    const bool is_steep = std::any_of(numbers.begin(), numbers.end(), [](const ZoneNumbers& zone) {
        return zone.slope_percent >= kSteepPercent;
    });
    if (is_steep) {
        cautions.emplace_back(
            "On a slope, or above a retaining wall: stop if you see seepage, cracks or movement, "
            "and have it inspected.");
    }
    if (any_zone(zones, [](const Zone& zone) { return zone.salinity.has_value(); })) {
        cautions.emplace_back(
            "Recycled or gray water: not for drinking. No cross-connection, overspray or runoff; "
            "follow the permit and post the signs.");
        cautions.emplace_back(
            "Leach salts only where the soil drains freely and the rules allow it.");
    }
    const bool is_dormant =
        std::any_of(numbers.begin(), numbers.end(), [](const ZoneNumbers& zone) {
            return std::any_of(zone.dormant.begin(), zone.dormant.end(),
                               [](bool month) { return month; });
        });
    if (is_dormant) {
        cautions.emplace_back(
            "Dormant does not mean dry: evergreens and new plants may need water in a dry winter, "
            "on "
            "a day above freezing.");
    }
    if (any_zone(zones, [](const Zone& zone) { return zone.new_planting.has_value(); })) {
        cautions.emplace_back(
            "New plantings keep their establishment schedule until its last day: use a program "
            "without seasonal adjustment, and keep the soil moist, not wet.");
    }
    const bool has_odd_dates =
        rules.allowed_days.rule == DayRule::odd_dates ||
        std::any_of(rules.restrictions.begin(), rules.restrictions.end(), [](const auto& one) {
            return one.allowed_days && one.allowed_days->rule == DayRule::odd_dates;
        });
    if (has_odd_dates) {
        cautions.emplace_back(
            "The 31st and the 1st (and February 29 and March 1) are both odd dates. Where watering "
            "on consecutive days is not allowed, skip the last day of the month.");
    }
    return cautions;
}

}  // namespace thirstline
