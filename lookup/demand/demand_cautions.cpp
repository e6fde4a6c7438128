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

std::vector<Phrase> demand_cautions(const std::vector<Zone>& zones,
                                    const std::vector<ZoneNumbers>& numbers,
                                    const LocalRules& rules) {
    std::vector<Phrase> cautions{"caution.rules"_text, "caution.freezing"_text,
                                 "caution.sensor"_text, "caution.licensed"_text,
                                 "caution.winterizing"_text};
    const bool is_steep = std::any_of(numbers.begin(), numbers.end(), [](const ZoneNumbers& zone) {
        return zone.slope_percent >= kSteepPercent;
    });
    if (is_steep) cautions.emplace_back("caution.slope"_text);
    if (any_zone(zones, [](const Zone& zone) { return zone.salinity.has_value(); })) {
        cautions.emplace_back("caution.recycled"_text);
        cautions.emplace_back("caution.leaching"_text);
    }
    const bool is_dormant =
        std::any_of(numbers.begin(), numbers.end(), [](const ZoneNumbers& zone) {
            return std::any_of(zone.dormant.begin(), zone.dormant.end(),
                               [](bool month) { return month; });
        });
    if (is_dormant) cautions.emplace_back("caution.dormant"_text);
    if (any_zone(zones, [](const Zone& zone) { return zone.new_planting.has_value(); }))
        cautions.emplace_back("caution.new_planting"_text);
    const bool has_odd_dates =
        rules.allowed_days.rule == DayRule::odd_dates ||
        std::any_of(rules.restrictions.begin(), rules.restrictions.end(), [](const auto& one) {
            return one.allowed_days && one.allowed_days->rule == DayRule::odd_dates;
        });
    if (has_odd_dates) cautions.emplace_back("caution.odd_dates"_text);
    return cautions;
}

}  // namespace thirstline
