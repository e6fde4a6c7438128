#include "tests/support/merrow_site.hpp"

#include <gtest/gtest.h>

#include "lookup/demand/exact_units.hpp"

namespace thirstline {

SiteClimate merrow_climate() {
    constexpr Monthly<double> kEtoMm{34.1,  40.4,  62.2, 88.8, 124.9, 144.6,
                                     153.7, 134.5, 98.4, 68.7, 44.7,  35.0};
    constexpr Monthly<double> kEtoSeMm{3.7, 3.7, 4.3, 5.1, 6.8, 7.5, 7.8, 7.1, 6.0, 5.0, 4.5, 4.0};
    constexpr Monthly<double> kRainMm{30.0, 24.9, 22.0, 15.0, 10.0, 6.0,
                                      6.0,  9.0,  14.0, 20.9, 25.0, 30.0};
    constexpr Monthly<double> kRainSeMm{3.1, 2.6, 2.3, 1.7, 1.2, 0.8, 0.8, 1.1, 1.6, 2.2, 2.7, 3.1};
    constexpr Monthly<double> kMeanC{3, 4, 7, 10, 14, 18, 21, 20, 16, 11, 6, 3};
    SiteClimate climate;
    for (std::size_t m = 0; m < kMonths; ++m) {
        MonthClimate& month = climate.months[m];
        month.eto_mm = kEtoMm[m];
        month.eto_mm_per_day = kEtoMm[m] / kDaysInMonth[m];
        month.eto_se_mm = kEtoSeMm[m];
        month.rain_mm = kRainMm[m];
        month.rain_se_mm = kRainSeMm[m];
        month.tmean_c = kMeanC[m];
    }
    return climate;
}

Zone north_lawn() {
    Zone zone;
    zone.name = "north lawn";
    zone.planting = Turf{TurfSeason::cool};
    zone.area_m2 = 1500.0 * kM2PerFt2;
    zone.application = ApplicationRate{1.4 * kMmPerInch};
    zone.uniformity = DistributionUniformity{0.65};
    zone.soil.texture = SoilTexture::clay_loam;
    zone.slope_percent = 5.0;
    zone.root_depth_mm = 6.0 * kMmPerInch;
    zone.allowed_depletion = 0.5;
    return zone;
}

Zone shrub_bed() {
    Zone zone;
    zone.name = "shrub bed";
    zone.planting = LandscapeCoefficient{0.5};
    zone.application = Drip{60, kLitresPerGallon, 400.0 * kM2PerFt2, 30};
    zone.soil.texture = SoilTexture::loam;
    return zone;
}

Zone sandy_strip() {
    Zone zone;
    zone.name = "sandy strip";
    zone.planting = Turf{TurfSeason::warm};
    zone.area_m2 = 100.0;
    zone.application = ZoneFlow{30.0};
    zone.soil.texture = SoilTexture::sand;
    return zone;
}

DemandPlan plan_or_fail(const SiteClimate& climate, const std::vector<Zone>& zones,
                        const LocalRules& rules, const std::optional<WaterPrice>& price) {
    auto plan = demand_plan(climate, zones, rules, price);
    if (plan) return std::move(*plan);
    ADD_FAILURE() << plan.error().message;
    DemandPlan empty;
    empty.zones.resize(zones.size());
    return empty;
}

std::vector<Conflict> conflicts_of(const ZonePlan& zone, std::string_view rule) {
    std::vector<Conflict> found;
    for (const Conflict& conflict : zone.conflicts) {
        if (conflict.rule == rule) found.push_back(conflict);
    }
    return found;
}

AllowedDays monday_wednesday_friday() {
    return {DayRule::weekdays, {true, false, true, false, true, false, false}};
}

}  // namespace thirstline
