#include "lookup/demand/zone_numbers.hpp"

#include <string>
#include <string_view>
#include <utility>

#include "lookup/demand/effective_rain.hpp"
#include "lookup/demand/handbook.hpp"
#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/month_schedule.hpp"
#include "lookup/demand/plant_need.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand/soil_water.hpp"
#include "lookup/demand/zone_ranges.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

constexpr double kGreatestLeaching = 0.5;

void assume(Assumptions& assumed, std::string what, std::string value, TableSource source) {
    assumed.push_back(
        {std::move(what), std::move(value), std::string(source.source), source.standing});
}

/// The owner's value; or the default, listed.
double known_or(Assumptions& assumed, const std::optional<double>& own, double otherwise,
                std::string what, std::string value, TableSource source) {
    if (own) return *own;
    assume(assumed, std::move(what), std::move(value), source);
    return otherwise;
}

// --- What grows ------------------------------------------------------------------------------

void assume_turf(Assumptions& assumed, const Turf& turf, const Monthly<double>& coefficients) {
    const bool is_flat = turf.coefficients == TurfCoefficients::flat;
    assume(assumed, "turf coefficients",
           is_flat ? fixed(coefficients[0], 1) + " in every month" : "by month, for California",
           turf_coefficients_source(turf.coefficients));
}

void assume_landscape(Assumptions& assumed, const LandscapeCoefficient& landscape,
                      const std::optional<Exposure>& exposure) {
    if (!landscape.density) {
        assume(assumed, "density factor", "1 (average)", kLandscapeFactorSource);
    }
    if (!landscape.microclimate) {
        const double factor = microclimate_factor(exposure.value_or(Exposure::average));
        assume(assumed, "microclimate factor",
               number_text(factor) + (exposure ? " (from the exposure)" : " (average)"),
               kLandscapeFactorSource);
    }
}

void assume_planting(Assumptions& assumed, const Zone& zone, const Monthly<double>& coefficients) {
    if (const auto* turf = std::get_if<Turf>(&zone.planting)) {
        assume_turf(assumed, *turf, coefficients);
    } else if (const auto* landscape = std::get_if<LandscapeCoefficient>(&zone.planting)) {
        assume_landscape(assumed, *landscape, zone.exposure);
        return;
    }
    if (zone.exposure && *zone.exposure != Exposure::average) {
        assume(assumed, "exposure", "changes no number here",
               {"a plant factor or coefficient is whole in itself; for a shaded or hot place give "
                "a landscape coefficient or another factor",
                Standing::own_choice});
    }
}

// --- Dormancy --------------------------------------------------------------------------------

void assume_dormancy(Assumptions& assumed, const Zone& zone, bool knows_temperature) {
    if (zone.dormant_months) return;
    if (!knows_temperature) {
        assume(assumed, "dormant months", "none",
               {"the file has no temperatures here; name the dormant months yourself",
                Standing::own_choice});
    } else if (const auto* turf = std::get_if<Turf>(&zone.planting)) {
        assume(assumed, "dormant months",
               "mean temperature below " + number_text(dormant_below_c(turf->season)) + " °C",
               kDormancySource);
    } else {
        assume(assumed, "dormant months", "mean temperature at or below 0 °C",
               {"nothing is watered in frozen ground", Standing::own_choice});
    }
}

// --- Sprinklers ------------------------------------------------------------------------------

struct Sprinkling {
    double area_m2 = 0.0;
    double rate_mm_per_h = 0.0;
};

Sprinkling drip_sprinkling(Assumptions& assumed, const Zone& zone, const Drip& drip) {
    const double area_m2 = drip.wetted_m2 ? *drip.wetted_m2 : *zone.area_m2;
    if (!drip.wetted_m2) {
        assume(assumed, "wetted area", area_text(area_m2),
               {"the zone's area, as none was given", Standing::own_choice});
    } else if (zone.area_m2 && *zone.area_m2 != area_m2) {
        assume(assumed, "area that counts", area_text(area_m2),
               {"drip: need and rate are counted over the wetted area, not the whole zone",
                Standing::own_choice});
    }
    return {area_m2, drip.emitters * drip.l_per_h_each / area_m2};
}

Sprinkling sprinkling(Assumptions& assumed, const Zone& zone) {
    if (const auto* drip = std::get_if<Drip>(&zone.application)) {
        return drip_sprinkling(assumed, zone, *drip);
    }
    if (const auto* flow = std::get_if<ZoneFlow>(&zone.application)) {
        return {*zone.area_m2, precipitation_rate_mm_per_h(flow->l_per_min, *zone.area_m2)};
    }
    return {*zone.area_m2, std::get<ApplicationRate>(zone.application).mm_per_h};
}

double gross_per_net_by_uniformity(Assumptions& assumed, const Zone& zone) {
    if (!zone.uniformity) {
        const bool is_drip = std::holds_alternative<Drip>(zone.application);
        const double efficiency = is_drip ? kDripEfficiency : kOverheadEfficiency;
        assume(assumed, "application efficiency",
               number_text(efficiency) + (is_drip ? " (drip)" : " (overhead)"), kEfficiencySource);
        return 1.0 / efficiency;
    }
    if (const auto* efficiency = std::get_if<ApplicationEfficiency>(&*zone.uniformity)) {
        return 1.0 / efficiency->share;
    }
    const double uniformity = std::get<DistributionUniformity>(*zone.uniformity).lowest_quarter;
    const double multiplier = scheduling_multiplier(uniformity);
    assume(assumed, "scheduling multiplier",
           fixed(multiplier, 2) + " = 1/(0.4 + 0.6 x " + number_text(uniformity) + ")",
           {"irrigation trade", Standing::memory});
    return multiplier;
}

/// 1 without salinity.
Result<double> gross_per_net_by_leaching(Assumptions& assumed, const Zone& zone) {
    if (!zone.salinity) return 1.0;
    const Salinity& salinity = *zone.salinity;
    double tolerated = salinity.tolerated_ec_ds_per_m.value_or(0.0);
    if (const auto* turf = std::get_if<Turf>(&zone.planting);
        turf != nullptr && !salinity.tolerated_ec_ds_per_m) {
        tolerated = tolerated_ec_ds_per_m(turf->season);
        assume(assumed, "salt that the turf bears (ECe)", number_text(tolerated) + " dS/m",
               kSalinitySource);
    }
    const double water = salinity.water_ec_ds_per_m;
    const double leaching = water < 5.0 * tolerated ? leaching_requirement(water, tolerated) : 1.0;
    if (leaching > kGreatestLeaching) {
        return fail(ErrorCode::bad_input,
                    "zone \"" + zone.name + "\": water of ECw " + number_text(water) +
                        " dS/m is too salty for plants that bear ECe " + number_text(tolerated) +
                        " dS/m: more than half of it would have to drain away",
                    "use fresher water, or plants that bear more salt");
    }
    assume(assumed, "leaching requirement",
           percent_text(leaching) + " of the water drains below the roots", kSalinitySource);
    return 1.0 / (1.0 - leaching);
}

// --- The ground ------------------------------------------------------------------------------

void set_ground(ZoneNumbers& numbers, const Zone& zone) {
    Assumptions& assumed = numbers.assumed;
    const Soil& soil = zone.soil;
    const bool is_all_known =
        soil.available_water_mm_per_m && soil.intake_mm_per_h && soil.surface_storage_mm;
    const SoilTexture texture = soil.texture.value_or(SoilTexture::clay_loam);
    if (!soil.texture && !is_all_known) {
        assume(assumed, "soil", std::string(soil_texture_name(texture)),
               {"a heavy soil is the careful guess where run-off matters; feel yours",
                Standing::own_choice});
    }
    const double slope =
        soil.surface_storage_mm && !zone.slope_percent
            ? 0.0
            : known_or(assumed, zone.slope_percent, 0.0, "slope", "level (0 to 3 %)",
                       {"none was given", Standing::own_choice});
    const double water = available_water_mm_per_m(texture);
    const double available =
        known_or(assumed, soil.available_water_mm_per_m, water, "available water",
                 available_water_text(water), kAvailableWaterSource);
    const double intake = intake_mm_per_h(texture);
    numbers.surface.intake_mm_per_h = known_or(assumed, soil.intake_mm_per_h, intake, "soil intake",
                                               rate_text(intake), kIntakeSource);
    const double storage = surface_storage_mm(texture, slope);
    numbers.surface.storage_mm = known_or(assumed, soil.surface_storage_mm, storage,
                                          "surface storage", depth_text(storage), kIntakeSource);
    numbers.slope_percent = slope;

    const double roots = root_depth_mm(std::holds_alternative<Turf>(zone.planting));
    const double depth = known_or(assumed, zone.root_depth_mm, roots, "root depth",
                                  soil_depth_text(roots), kRootSource);
    const double depletion =
        known_or(assumed, zone.allowed_depletion, kAllowedDepletion, "allowed depletion",
                 percent_text(kAllowedDepletion), kRootSource);
    numbers.root_zone_mm = root_zone_water_mm(available, depth);
    numbers.usable_storage_mm = usable_storage_mm(numbers.root_zone_mm, depletion);
    assume(assumed, "least watering", "half the usable storage where the days allow it",
           {"less wets only the upper roots, so days are cut before runs get shorter",
            Standing::own_choice});
}

// --- Rain ------------------------------------------------------------------------------------

constexpr std::string_view kScsSource =
    "USDA-SCS Technical Release 21; National Engineering Handbook part 623, chapter 2";

void assume_rain_rule(Assumptions& assumed, const RainCredit& credit) {
    switch (credit.rule) {
        case RainRule::half:
            assume(assumed, "rain credit",
                   "none in the peak month; else effective rain by USDA-SCS, at most half the "
                   "month's rain",
                   {"a rain sensor already saves part of it, and shares must not starve the plants "
                    "in a dry spell",
                    Standing::common_practice});
            assume(assumed, "rain credit near the peak",
                   "from half of the greatest need on, falling in a straight line to none",
                   {"so that a month that needs nearly as much as the peak month is guarded nearly "
                    "as well against a dry spell",
                    Standing::own_choice});
            assume(assumed, "effective rain", "monthly, by the soil's usable storage",
                   {kScsSource, Standing::second_hand});
            break;
        case RainRule::scs:
            assume(assumed, "effective rain", "monthly, by the soil's usable storage",
                   {kScsSource, Standing::second_hand});
            break;
        case RainRule::dependable:
            assume(assumed, "effective rain",
                   "dependable rain: 0.6 P - 10 mm up to 70 mm a month, 0.8 P - 24 mm above",
                   {"FAO Land and Water Division", Standing::memory});
            break;
        case RainRule::share:
        case RainRule::none:
            break;
    }
}

void assume_rain(Assumptions& assumed, const RainCredit& credit, const SiteClimate& climate) {
    if (credit.rule == RainRule::none) return;
    assume_rain_rule(assumed, credit);
    for (const MonthClimate& month : climate.months) {
        if (month.rain_mm) continue;
        assume(assumed, "rain", "none credited in months where it is unknown",
               {"the file has no rain there", Standing::own_choice});
        break;
    }
}

}  // namespace

Result<ZoneNumbers> zone_numbers(const Zone& zone, const SiteClimate& climate) {
    ZoneNumbers numbers;
    Assumptions& assumed = numbers.assumed;
    numbers.coefficient = plant_coefficients(zone.planting, zone.exposure);
    assume_planting(assumed, zone, numbers.coefficient);

    const Sprinkling sprinkled = sprinkling(assumed, zone);
    if (!is_within(sprinkled.rate_mm_per_h, kRateMmPerHRange)) {
        return fail(ErrorCode::bad_input,
                    "zone \"" + zone.name + "\": its flow over its area gives " +
                        number_text(sprinkled.rate_mm_per_h) +
                        " mm/h, which no sprinkler or dripper brings; check flow and area");
    }
    numbers.counted_area_m2 = sprinkled.area_m2;
    numbers.rate_mm_per_h = sprinkled.rate_mm_per_h;
    numbers.flow_l_per_min = zone_flow_l_per_min(sprinkled.rate_mm_per_h, sprinkled.area_m2);
    if (const auto* drip = std::get_if<Drip>(&zone.application)) numbers.plants = drip->plants;

    numbers.gross_per_net = gross_per_net_by_uniformity(assumed, zone);
    const Result<double> leaching = gross_per_net_by_leaching(assumed, zone);
    if (!leaching) return fail(leaching.error());
    numbers.gross_per_net *= *leaching;

    set_ground(numbers, zone);
    numbers.rain_credit = zone.rain_credit.value_or(RainCredit{});
    assume_rain(assumed, numbers.rain_credit, climate);

    bool knows_temperature = true;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const std::optional<double>& tmean_c = climate.months[m].tmean_c;
        knows_temperature = knows_temperature && tmean_c;
        numbers.dormant[m] =
            zone.dormant_months ? (*zone.dormant_months)[m] : is_dormant(zone.planting, tmean_c);
    }
    assume_dormancy(assumed, zone, knows_temperature);
    return numbers;
}

}  // namespace thirstline
