#include "lookup/demand_output/schedule_notes.hpp"

#include <algorithm>
#include <cstddef>
#include <utility>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand/water_window.hpp"
#include "lookup/demand_output/reader_numbers.hpp"

namespace thirstline {
namespace {

/// The zone of the greatest net need among those that are off for this reason; null if none of them
/// has a need worth a mention.
const ZonePlan* neediest_zone(const DemandPlan& plan, std::size_t month, Off off,
                              const TextStyle& style) {
    const ZonePlan* neediest = nullptr;
    for (const ZonePlan& zone : plan.zones) {
        const ZoneMonth& of_zone = zone.months[month];
        if (of_zone.off != off || is_negligible_depth(of_zone.net_mm, style)) continue;
        if (neediest == nullptr || of_zone.net_mm > neediest->months[month].net_mm)
            neediest = &zone;
    }
    return neediest;
}

/// "Mar (north lawn 1.66 in) and Dec (meadow 0.10 in)"
Phrase months_off(const DemandPlan& plan, Off off, const TextStyle& style) {
    std::vector<Phrase> months;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const ZonePlan* zone = neediest_zone(plan, m, off, style);
        if (zone == nullptr) continue;
        months.push_back({"off.month"_text,
                          {{"month", month_in_list(m)},
                           {"zone", zone->name},
                           {"depth", depth_with_unit(zone->months[m].net_mm, style)}}});
    }
    return Phrase::joined_with_and(std::move(months));
}

Phrase late_nights(const NightsOfYear& nights, TextKey sentence) {
    const auto is_late = [&](std::size_t m) {
        return nights[m] && ends_late(nights[m]->start_minutes, nights[m]->end_minutes);
    };
    Phrase months = months_phrase(is_late);
    if (months.empty()) return {};
    double latest_minutes = 0.0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (!is_late(m)) continue;
        const bool is_next_day = nights[m]->start_minutes >= kNightEndsMinutes;
        latest_minutes =
            std::max(latest_minutes, nights[m]->end_minutes - (is_next_day ? kClockMinutes : 0.0));
    }
    return {sentence,
            {{"months", std::move(months)},
             {"limit", clock_text(kNightEndsMinutes)},
             {"end", clock_text(latest_minutes)}}};
}

}  // namespace

std::vector<Phrase> day_setting_notes(const DemandPlan& plan) {
    const DaySettings& settings = plan.site.day_settings;
    std::vector<Phrase> notes;
    if (settings.week_intervals) notes.emplace_back("days.set_week_interval"_text);
    if (settings.date_intervals) notes.emplace_back("days.set_date_interval"_text);
    if (settings.dates) notes.emplace_back("days.set_dates"_text);
    return notes;
}

std::vector<std::string> off_month_notes(const DemandReport& report, const TextStyle& style) {
    std::vector<Phrase> notes;
    if (Phrase months = months_off(report.plan, Off::out_of_season, style); !months.empty()) {
        notes.push_back({report.set.setup.season ? "off.season"_text : "off.frost"_text,
                         {{"months", std::move(months)}}});
    }
    if (Phrase months = months_off(report.plan, Off::small_need, style); !months.empty()) {
        notes.push_back(
            {"off.small"_text,
             {{"months", std::move(months)}, {"minutes", minutes_text(kShortestDayMinutes)}}});
    }
    return rendered(notes, style);
}

Phrase late_nights_by_month(const DemandPlan& plan) {
    return late_nights(plan.site.nights, "late.by_month"_text);
}

Phrase late_nights_by_percentage(const DemandPlan& plan) {
    return late_nights(plan.site.nights_by_percentage, "late.by_percentage"_text);
}

}  // namespace thirstline
