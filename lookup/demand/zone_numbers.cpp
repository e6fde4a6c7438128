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
        {std::move(what), std::move(value), std::string(source.source), source.basis});
}

/// The owner's value; or the default, which is listed.
double known_or(Assumptions& assumed, const std::optional<double>& own, double otherwise,
                std::string what, std::string value, TableSource source) {
    if (own) return *own;
    assume(assumed, std::move(what), std::move(value), source);
    return otherwise;
}

// --- Plants --------------------------------------------------------------------------------------

void assume_microclimate(Assumptions& assumed, const std::optional<double>& own,
                         const std::optional<Exposure>& exposure, TableSource source) {
    if (own) return;
    const double factor = microclimate_factor(exposure.value_or(Exposure::average));
    assume(assumed, "microclimate factor",
           number_text(factor) + (exposure ? " (from the exposure)" : " (average)"), source);
}

void assume_turf(Assumptions& assumed, const Turf& turf, const std::optional<Exposure>& exposure) {
    const bool is_flat = turf.coefficients == TurfCoefficients::flat;
    assume(assumed, "turf coefficients",
           is_flat ? fixed(turf_coefficients(turf)[0], 1) + " in every month"
                   : "by month, for California",
           turf_coefficients_source(turf.coefficients));
    if (!exposure || *exposure == Exposure::average) return;
    assume_microclimate(
        assumed, turf.microclimate, exposure,
        {"range 0.5 to 1.4 as for landscape plantings; shaded turf uses less water, "
         "turf beside pavement more",
         Basis::own_choice});
}

void assume_planting(Assumptions& assumed, const Zone& zone) {
    if (const auto* turf = std::get_if<Turf>(&zone.planting)) {
        assume_turf(assumed, *turf, zone.exposure);
        return;
    }
    if (const auto* landscape = std::get_if<LandscapeCoefficient>(&zone.planting)) {
        if (!landscape->density)
            assume(assumed, "density factor", "1 (average)", kLandscapeFactorSource);
        assume_microclimate(assumed, landscape->microclimate, zone.exposure,
                            kLandscapeFactorSource);
        return;
    }
    if (zone.exposure && *zone.exposure != Exposure::average) {
        assume(assumed, "exposure", "not used",
               {"a plant factor or crop coefficient already includes it; for a shaded or hot place "
                "give species and exposure, or another factor",
                Basis::own_choice});
    }
}

/// Meyer's coefficients are valid in California only: its bounding box, cut along the border with
/// Nevada from 39° N 120° W to 35° N 114.6° W.
bool is_in_california(LatLon at) {
    if (at.lat_deg < 32.5 || at.lat_deg > 42.0 || at.lon_deg < -124.5 || at.lon_deg > -114.1)
        return false;
    if (at.lat_deg >= 39.0) return at.lon_deg <= -119.99;
    if (at.lat_deg <= 35.0) return true;
    return at.lon_deg <= -120.0 + (39.0 - at.lat_deg) / 4.0 * 5.4;
}

Result<void> check_region(const Zone& zone, const SiteClimate& climate) {
    const auto* turf = std::get_if<Turf>(&zone.planting);
    if (turf == nullptr || turf->coefficients == TurfCoefficients::flat || !climate.at ||
        is_in_california(*climate.at)) {
        return {};
    }
    return fail(ErrorCode::bad_input,
                "zone \"" + zone.name +
                    "\": turf_coefficients \"california\" is not valid outside California",
                "use \"flat\", or give twelve values of your own as coefficient");
}

// --- Dormancy --------------------------------------------------------------------------------

void assume_dormancy(Assumptions& assumed, const Zone& zone, bool knows_temperature) {
    if (zone.dormant_months) return;
    if (!knows_temperature) {
        assume(assumed, "dormant months", "none",
               {"the file has no temperatures here; give dormant_months", Basis::own_choice});
    } else if (const auto* turf = std::get_if<Turf>(&zone.planting)) {
        assume(assumed, "dormant months",
               "mean temperature below " + number_text(dormant_below_c(turf->season)) + " °C",
               kDormancySource);
    } else {
        assume(assumed, "dormant months", "mean temperature at or below 0 °C",
               {"frozen ground is not watered", Basis::own_choice});
    }
}

// --- Sprinklers ------------------------------------------------------------------------------

struct Sprinkling {
    double area_m2 = 0.0;
    double rate_mm_per_h = 0.0;
    double wetted_share = 1.0;  ///< of the area, above 0
};

Sprinkling drip_sprinkling(Assumptions& assumed, const Zone& zone, const Drip& drip) {
    const double area_m2 = zone.area_m2 ? *zone.area_m2 : *drip.wetted_m2;
    const double wetted_m2 = drip.wetted_m2.value_or(area_m2);
    if (!drip.wetted_m2) {
        assume(assumed, "wetted area", area_text(area_m2),
               {"the planted area, as none was given", Basis::own_choice});
    } else if (!zone.area_m2) {
        assume(assumed, "planted area", area_text(area_m2),
               {"the wetted area, as none was given; need is counted over the planted area",
                Basis::own_choice});
    } else if (wetted_m2 < area_m2) {
        assume(assumed, "area used",
               area_text(area_m2) + " for need and volume, " + area_text(wetted_m2) +
                   " for storage, interval and cycles",
               {"NRCS National Engineering Handbook part 623, chapter 7", Basis::memory});
    }
    return {area_m2, drip.emitters * drip.l_per_h_each / area_m2, wetted_m2 / area_m2};
}

Sprinkling sprinkling(Assumptions& assumed, const Zone& zone) {
    if (const auto* drip = std::get_if<Drip>(&zone.application))
        return drip_sprinkling(assumed, zone, *drip);
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
    if (const auto* efficiency = std::get_if<ApplicationEfficiency>(&*zone.uniformity))
        return 1.0 / efficiency->share;
    const double uniformity = std::get<DistributionUniformity>(*zone.uniformity).lowest_quarter;
    const double multiplier = scheduling_multiplier(uniformity);
    assume(assumed, "scheduling multiplier",
           fixed(multiplier, 2) + " = 1/(0.4 + 0.6 x " + number_text(uniformity) + ")",
           {"industry landscape-scheduling guide: scheduling multiplier 1/(0.4 + 0.6 DU)",
            Basis::memory});
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
        assume(assumed, "soil-salinity threshold (ECe)", number_text(tolerated) + " dS/m",
               kSalinitySource);
    }
    const double water = salinity.water_ec_ds_per_m;
    const double leaching = water < 5.0 * tolerated ? leaching_requirement(water, tolerated) : 1.0;
    if (leaching > kGreatestLeaching) {
        return fail(ErrorCode::bad_input,
                    "zone \"" + zone.name + "\": water of ECw " + number_text(water) +
                        " dS/m is too saline for plants that tolerate ECe " +
                        number_text(tolerated) + " dS/m: leaching fraction would exceed 50%",
                    "use fresher water, or plants that tolerate more salt");
    }
    assume(assumed, "leaching requirement",
           percent_text(leaching) + " of the water drains below the roots", kSalinitySource);
    return 1.0 / (1.0 - leaching);
}

// --- Soil ----------------------------------------------------------------------------------------

void set_ground(ZoneNumbers& numbers, const Zone& zone, double wetted_share) {
    Assumptions& assumed = numbers.assumed;
    const Soil& soil = zone.soil;
    const bool is_all_known =
        soil.available_water_mm_per_m && soil.intake_mm_per_h && soil.surface_storage_mm;
    const SoilTexture texture = soil.texture.value_or(SoilTexture::clay_loam);
    if (!soil.texture && !is_all_known) {
        assume(assumed, "soil", std::string(soil_texture_name(texture)),
               {"soil not given; conservative for runoff. Check by feel or soil test",
                Basis::own_choice});
    }
    const bool uses_table = !is_all_known && !is_tabulated(texture);
    if (uses_table) {
        assume(assumed, "soil table",
               "the nearest finer texture's row for " + std::string(soil_texture_name(texture)),
               {"the tables have seven of the twelve USDA textures", Basis::own_choice});
    }
    const double slope = soil.surface_storage_mm && !zone.slope_percent
                             ? 0.0
                             : known_or(assumed, zone.slope_percent, 0.0, "slope",
                                        "level (0 to 3%)", {"slope not given", Basis::own_choice});
    const double water = available_water_mm_per_m(texture);
    const double available =
        known_or(assumed, soil.available_water_mm_per_m, water, "available water",
                 available_water_text(water), kAvailableWaterSource);
    const double intake = intake_mm_per_h(texture);
    numbers.surface.intake_mm_per_h =
        known_or(assumed, soil.intake_mm_per_h, intake, "basic intake rate", rate_text(intake),
                 kIntakeSource);
    const double storage = surface_storage_mm(texture, slope);
    numbers.surface.storage_mm =
        known_or(assumed, soil.surface_storage_mm, storage, "allowable surface accumulation",
                 depth_text(storage), kIntakeSource);
    numbers.slope_percent = slope;

    const double roots = root_depth_mm(std::holds_alternative<Turf>(zone.planting));
    const double depth = known_or(assumed, zone.root_depth_mm, roots, "root depth",
                                  soil_depth_text(roots), kRootSource);
    const double depletion =
        known_or(assumed, zone.allowed_depletion, kAllowedDepletion, "allowed depletion",
                 percent_text(kAllowedDepletion), kRootSource);
    numbers.root_zone_mm = root_zone_water_mm(available, depth) * wetted_share;
    numbers.usable_storage_mm = usable_storage_mm(numbers.root_zone_mm, depletion);
    assume(assumed, "minimum application",
           "half of the allowable depletion where the days allow it",
           {"less wets only the upper roots, so days are cut before run times", Basis::own_choice});
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
                   {"a rain sensor already saves part of it, and percentages must not leave plants "
                    "short in a dry spell",
                    Basis::common_practice});
            assume(assumed, "rain credit near the peak",
                   "from half of the greatest need on, falling in a straight line to none",
                   {"a month that needs nearly as much as the peak month needs nearly the same "
                    "reserve for a dry spell",
                    Basis::own_choice});
            assume(assumed, "effective rain", "monthly, by the allowable depletion",
                   {kScsSource, Basis::second_hand});
            break;
        case RainRule::scs:
            assume(assumed, "effective rain", "monthly, by the allowable depletion",
                   {kScsSource, Basis::second_hand});
            break;
        case RainRule::dependable:
            assume(assumed, "effective rain",
                   "dependable rain: 0.6 P - 10 mm up to 70 mm a month, 0.8 P - 24 mm above",
                   {"FAO Land and Water Division", Basis::memory});
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
               {"the file has no rain there", Basis::own_choice});
        break;
    }
}

}  // namespace

Result<ZoneNumbers> zone_numbers(const Zone& zone, const SiteClimate& climate) {
    ZoneNumbers numbers;
    Assumptions& assumed = numbers.assumed;
    TRY(check_region(zone, climate));
    numbers.coefficient = plant_coefficients(zone.planting, zone.exposure);
    assume_planting(assumed, zone);

    const Sprinkling sprinkled = sprinkling(assumed, zone);
    if (!is_within(sprinkled.rate_mm_per_h, kRateMmPerHRange)) {
        return fail(ErrorCode::bad_input,
                    "zone \"" + zone.name + "\": flow over area gives " +
                        rate_text(sprinkled.rate_mm_per_h) +
                        ", which is outside the range of sprinklers and drip; check both");
    }
    numbers.counted_area_m2 = sprinkled.area_m2;
    numbers.rate_mm_per_h = sprinkled.rate_mm_per_h;
    numbers.wetted_rate_mm_per_h = sprinkled.rate_mm_per_h / sprinkled.wetted_share;
    numbers.flow_l_per_min = zone_flow_l_per_min(sprinkled.rate_mm_per_h, sprinkled.area_m2);
    if (const auto* drip = std::get_if<Drip>(&zone.application)) numbers.plants = drip->plants;

    numbers.gross_per_net = gross_per_net_by_uniformity(assumed, zone);
    const Result<double> leaching = gross_per_net_by_leaching(assumed, zone);
    if (!leaching) return fail(leaching.error());
    numbers.gross_per_net *= *leaching;

    set_ground(numbers, zone, sprinkled.wetted_share);
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
