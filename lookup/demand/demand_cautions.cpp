#include "lookup/demand/demand_cautions.hpp"

#include <algorithm>

namespace thirstline {
namespace {

/// A month this cool on average has nights below freezing in most climates (common practice).
constexpr double kFrostLikelyBelowC = 7.0;
constexpr double kWinteriseBelowC = 2.0;
constexpr double kSteepPercent = 7.0;

bool has_month_below(const SiteClimate& climate, double limit_c) {
    return std::any_of(
        climate.months.begin(), climate.months.end(),
        [&](const MonthClimate& month) { return !month.tmean_c || *month.tmean_c < limit_c; });
}

template <class Predicate>
bool any_zone(const std::vector<Zone>& zones, Predicate predicate) {
    return std::any_of(zones.begin(), zones.end(), predicate);
}

}  // namespace

std::vector<std::string> demand_cautions(const SiteClimate& climate, const std::vector<Zone>& zones,
                                         const std::vector<ZoneNumbers>& numbers,
                                         const LocalRules& rules) {
    std::vector<std::string> cautions{
        "Local watering rules come first: check them before you set these times.",
        "These are normals, not a forecast: look at the soil and the plants, and correct the times "
        "by what you see.",
        "Never defeat a rain or freeze shut-off that the rules require.",
        "Backflow protection, electrical work and pumps are for licensed people.",
    };
    if (has_month_below(climate, kFrostLikelyBelowC)) {
        cautions.emplace_back(
            "Never run sprinklers when it freezes: ice on walks and roads injures people.");
    }
    if (has_month_below(climate, kWinteriseBelowC)) {
        cautions.emplace_back(
            "Blowing out pipes with compressed air can injure: leave it to trained people.");
    }
    const bool is_steep = std::any_of(numbers.begin(), numbers.end(), [](const ZoneNumbers& zone) {
        return zone.slope_percent >= kSteepPercent;
    });
    if (is_steep) {
        cautions.emplace_back(
            "Stop watering a slope that seeps, cracks or stands above a wall, and have it looked "
            "at.");
    }
    if (any_zone(zones, [](const Zone& zone) { return zone.salinity.has_value(); })) {
        cautions.emplace_back(
            "Recycled or grey water: no cross-connection with drinking water, no overspray, no "
            "runoff; follow the permit and the signs.");
        cautions.emplace_back(
            "Leach salts only where the ground drains freely and the rules allow it.");
    }
    const bool is_dormant =
        std::any_of(numbers.begin(), numbers.end(), [](const ZoneNumbers& zone) {
            return std::any_of(zone.dormant.begin(), zone.dormant.end(),
                               [](bool month) { return month; });
        });
    if (is_dormant) {
        cautions.emplace_back(
            "Dormant does not mean never: evergreens, new plants and dry winters may need water on "
            "a day above freezing.");
    }
    if (any_zone(zones, [](const Zone& zone) { return zone.new_planting.has_value(); })) {
        cautions.emplace_back(
            "New plantings keep their own runs until their last day: put them on a programme that "
            "no monthly percentage cuts, and watch that their soil stays moist, not wet.");
    }
    if (rules.allowed_days.rule == DayRule::odd_dates) {
        cautions.emplace_back(
            "The 31st and the 1st (and 29 February and 1 March) are both odd dates and follow each "
            "other; where the rule forbids two days running, leave the last of the month out.");
    }
    return cautions;
}

}  // namespace thirstline
