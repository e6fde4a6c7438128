#include "lookup/demand/site_totals.hpp"

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <utility>

#include "lookup/demand/irrigation_depth.hpp"

namespace thirstline {
namespace {

YearTotals totals_of(const Monthly<double>& litres, const std::optional<WaterPrice>& price) {
    YearTotals totals;
    totals.volume_l = std::accumulate(litres.begin(), litres.end(), 0.0);
    if (price) totals.cost = water_cost(*price, litres).watering;
    return totals;
}

template <class VolumeOf>
Monthly<double> litres_by_month(const std::vector<ZonePlan>& zones, VolumeOf volume_l) {
    Monthly<double> litres{};
    for (std::size_t m = 0; m < kMonths; ++m)
        for (const ZonePlan& zone : zones) litres[m] += volume_l(zone, zone.months[m]);
    return litres;
}

void share_cost(std::vector<ZonePlan>& zones, const Monthly<double>& litres,
                const Monthly<double>& cost) {
    for (ZonePlan& zone : zones) {
        zone.cost = 0.0;
        for (std::size_t m = 0; m < kMonths; ++m) {
            ZoneMonth& month = zone.months[m];
            month.cost = litres[m] > 0.0 ? cost[m] * month.volume_l / litres[m] : 0.0;
            *zone.cost += *month.cost;
        }
    }
}

/// Water of the base runs at monthly percentages.
template <class PercentOf>
Monthly<double> at_percents_l(const DemandPlan& plan, PercentOf percent_of) {
    Monthly<double> litres{};
    for (const ZonePlan& zone : plan.zones) {
        const double mm_a_day = applied_depth_mm(
            zone.base_run.minutes_per_day * zone.base_run.days_per_week / kDaysPerWeek,
            zone.rate_mm_per_h);
        for (std::size_t m = 0; m < kMonths; ++m) {
            litres[m] +=
                mm_a_day * zone.counted_area_m2 * kDaysInMonth[m] * percent_of(zone, m) / 100.0;
        }
    }
    return litres;
}

/// The zone's part of the season: months in which it is on.
double percent_all_season(const DemandPlan& plan, const ZonePlan& zone, std::size_t m) {
    return zone.months[m].off == Off::no ? 100.0 * plan.site.season_share[m] : 0.0;
}

/// The peak's runs in months of at least this share of its need, otherwise one lower setting.
constexpr double kSummerPercent = 66.0;

/// The greatest percentage of the months below kSummerPercent that have a run.
double spring_and_fall_percent(const ZonePlan& zone) {
    double greatest = 0.0;
    for (const ZoneMonth& month : zone.months) {
        if (month.off != Off::no || month.percent_of_peak_need >= kSummerPercent) continue;
        greatest = std::max(greatest, month.percent_of_peak_need);
    }
    return greatest;
}

}  // namespace

std::vector<Comparison> comparisons(const DemandPlan& plan, const std::optional<WaterPrice>& price,
                                    const SiteSetup& setup) {
    std::vector<Comparison> all;
    const auto add = [&](const char* name, const Monthly<double>& litres) {
        Comparison comparison;
        comparison.name = name;
        comparison.year = totals_of(litres, price);
        comparison.saving.volume_l = comparison.year.volume_l - plan.site.year.volume_l;
        if (price) comparison.saving.cost = *comparison.year.cost - *plan.site.year.cost;
        all.push_back(std::move(comparison));
    };
    add("two_settings", at_percents_l(plan, [&](const ZonePlan& zone, std::size_t m) {
            const double season = percent_all_season(plan, zone, m);
            return zone.months[m].percent_of_peak_need >= kSummerPercent
                       ? season
                       : season * spring_and_fall_percent(zone) / 100.0;
        }));
    add("peak_all_season", at_percents_l(plan, [&](const ZonePlan& zone, std::size_t m) {
            return percent_all_season(plan, zone, m);
        }));
    add("peak_all_year", at_percents_l(plan, [](const ZonePlan&, std::size_t) { return 100.0; }));
    if (setup.current_percents) {
        add("current", at_percents_l(plan, [&](const ZonePlan&, std::size_t m) {
                return (*setup.current_percents)[m];
            }));
    }
    std::stable_sort(all.begin(), all.end(), [](const Comparison& a, const Comparison& b) {
        return a.year.volume_l < b.year.volume_l;
    });
    return all;
}

void add_totals(DemandPlan& plan, const std::optional<WaterPrice>& price, const SiteSetup& setup) {
    const Monthly<double> litres = litres_by_month(
        plan.zones, [](const ZonePlan&, const ZoneMonth& month) { return month.volume_l; });
    SitePlan& site = plan.site;
    site.year = totals_of(litres, price);
    site.need = totals_of(litres_by_month(plan.zones,
                                          [](const ZonePlan& zone, const ZoneMonth& month) {
                                              return month.gross_mm * zone.counted_area_m2;
                                          }),
                          price);
    site.by_percentage = totals_of(litres_by_month(plan.zones,
                                                   [](const ZonePlan&, const ZoneMonth& month) {
                                                       return month.by_percentage.volume_l;
                                                   }),
                                   price);
    site.comparisons = comparisons(plan, price, setup);
    if (!price) return;
    const WaterCost cost = water_cost(*price, litres);
    site.fixed_charges = cost.fixed;
    share_cost(plan.zones, litres, cost.watering_by_month);
}

}  // namespace thirstline
