#include "lookup/demand/zone_numbers.hpp"

#include <string>
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

void assume(Assumptions& assumed, TextKey what, Phrase value, TableSource source) {
    assumed.push_back({what, std::move(value), source.source, source.basis});
}

/// The owner's value; or the default, which is listed.
double known_or(Assumptions& assumed, const std::optional<double>& own, double otherwise,
                TextKey what, Phrase value, TableSource source) {
    if (own) return *own;
    assume(assumed, what, std::move(value), source);
    return otherwise;
}

// --- Plants --------------------------------------------------------------------------------------

void assume_microclimate(Assumptions& assumed, const std::optional<double>& own,
                         const std::optional<Exposure>& exposure, TableSource source) {
    if (own) return;
    const double factor = microclimate_factor(exposure.value_or(Exposure::average));
    assume(assumed, "assumed.microclimate"_text,
           {exposure ? "assumed.from_exposure"_text : "assumed.average_factor"_text,
            {{"factor", number_text(factor)}}},
           source);
}

void assume_turf(Assumptions& assumed, const Turf& turf, const std::optional<Exposure>& exposure) {
    const bool is_flat = turf.coefficients == TurfCoefficients::flat;
    assume(assumed, "assumed.turf_coefficients"_text,
           is_flat                           ? Phrase("assumed.every_month"_text,
                                                      {{"factor", fixed(turf_coefficients(turf)[0], 1)}})
           : turf.season == TurfSeason::warm ? Phrase("assumed.california_warm"_text)
                                             : Phrase("assumed.california"_text),
           turf_coefficients_source(turf.coefficients));
    if (!exposure || *exposure == Exposure::average) return;
    assume_microclimate(assumed, turf.microclimate, exposure,
                        {"assumed.turf_range"_text, Basis::own_choice});
}

void assume_planting(Assumptions& assumed, const Zone& zone) {
    if (const auto* turf = std::get_if<Turf>(&zone.planting)) {
        assume_turf(assumed, *turf, zone.exposure);
        return;
    }
    if (const auto* landscape = std::get_if<LandscapeCoefficient>(&zone.planting)) {
        if (!landscape->density)
            assume(assumed, "assumed.density"_text, "assumed.density_one"_text,
                   kLandscapeFactorSource);
        assume_microclimate(assumed, landscape->microclimate, zone.exposure,
                            kLandscapeFactorSource);
        return;
    }
    if (zone.exposure && *zone.exposure != Exposure::average) {
        assume(assumed, "assumed.exposure"_text, "assumed.exposure_not_used"_text,
               {"assumed.exposure_why"_text, Basis::own_choice});
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
        assume(assumed, "assumed.dormant_months"_text, "assumed.dormant_none"_text,
               {"assumed.no_temperatures"_text, Basis::own_choice});
    } else if (const auto* turf = std::get_if<Turf>(&zone.planting)) {
        assume(assumed, "assumed.dormant_months"_text,
               {"assumed.dormant_below"_text,
                {{"temperature", temperature_phrase(dormant_below_c(turf->season))}}},
               kDormancySource);
    } else {
        assume(
            assumed, "assumed.dormant_months"_text,
            {"assumed.dormant_frozen"_text, {{"temperature", temperature_phrase(kFrozenBelowC)}}},
            {"assumed.frozen_ground"_text, Basis::own_choice});
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
        assume(assumed, "assumed.wetted_area"_text, area_phrase(area_m2),
               {"assumed.wetted_as_planted"_text, Basis::own_choice});
    } else if (!zone.area_m2) {
        assume(assumed, "assumed.planted_area"_text, area_phrase(area_m2),
               {"assumed.planted_as_wetted"_text, Basis::own_choice});
    } else if (wetted_m2 < area_m2) {
        assume(assumed, "assumed.area_used"_text,
               {"assumed.areas"_text,
                {{"planted", area_phrase(area_m2)}, {"wetted", area_phrase(wetted_m2)}}},
               {"source.neh_chapter_7"_text, Basis::memory});
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
        assume(assumed, "assumed.efficiency"_text,
               {is_drip ? "assumed.drip"_text : "assumed.overhead"_text,
                {{"efficiency", number_text(efficiency)}}},
               kEfficiencySource);
        return 1.0 / efficiency;
    }
    if (const auto* efficiency = std::get_if<ApplicationEfficiency>(&*zone.uniformity))
        return 1.0 / efficiency->share;
    const double uniformity = std::get<DistributionUniformity>(*zone.uniformity).lowest_quarter;
    const double multiplier = scheduling_multiplier(uniformity);
    assume(assumed, "assumed.multiplier"_text,
           {"assumed.multiplier_value"_text,
            {{"multiplier", fixed(multiplier, 2)}, {"uniformity", number_text(uniformity)}}},
           {"source.scheduling_guide"_text, Basis::memory});
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
        assume(assumed, "assumed.salinity_threshold"_text,
               {"assumed.ec"_text, {{"value", number_text(tolerated)}}},
               tolerated_ec_source(turf->season));
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
    assume(assumed, "assumed.leaching"_text,
           {"assumed.leaching_value"_text, {{"percent", percent_text(leaching)}}}, kSalinitySource);
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
        assume(assumed, "assumed.soil"_text, soil_texture_name(texture),
               {"assumed.soil_why"_text, Basis::own_choice});
    }
    const bool uses_table = !is_all_known && !is_tabulated(texture);
    if (uses_table) {
        assume(assumed, "assumed.soil_table"_text,
               {"assumed.finer_row"_text, {{"texture", soil_texture_name(texture)}}},
               {"assumed.seven_textures"_text, Basis::own_choice});
    }
    const double slope =
        soil.surface_storage_mm && !zone.slope_percent
            ? 0.0
            : known_or(assumed, zone.slope_percent, 0.0, "assumed.slope"_text, "assumed.level"_text,
                       {"assumed.slope_why"_text, Basis::own_choice});
    const double water = available_water_mm_per_m(texture);
    const double available =
        known_or(assumed, soil.available_water_mm_per_m, water, "assumed.available_water"_text,
                 available_water_phrase(water), kAvailableWaterSource);
    const double intake = intake_mm_per_h(texture);
    numbers.surface.intake_mm_per_h =
        known_or(assumed, soil.intake_mm_per_h, intake, "assumed.intake"_text, rate_phrase(intake),
                 kIntakeSource);
    const double storage = surface_storage_mm(texture, slope);
    numbers.surface.storage_mm =
        known_or(assumed, soil.surface_storage_mm, storage, "assumed.surface"_text,
                 depth_phrase(storage), kIntakeSource);
    numbers.slope_percent = slope;

    const double roots = root_depth_mm(std::holds_alternative<Turf>(zone.planting));
    const double depth = known_or(assumed, zone.root_depth_mm, roots, "assumed.root_depth"_text,
                                  soil_depth_phrase(roots), kRootSource);
    const double depletion =
        known_or(assumed, zone.allowed_depletion, kAllowedDepletion, "assumed.depletion"_text,
                 percent_text(kAllowedDepletion), kRootSource);
    numbers.root_zone_mm = root_zone_water_mm(available, depth) * wetted_share;
    numbers.usable_storage_mm = usable_storage_mm(numbers.root_zone_mm, depletion);
    assume(assumed, "assumed.minimum_application"_text, "assumed.half_depletion"_text,
           {"assumed.half_depletion_why"_text, Basis::own_choice});
}

// --- Rain ------------------------------------------------------------------------------------

void assume_rain_rule(Assumptions& assumed, const RainCredit& credit) {
    switch (credit.rule) {
        case RainRule::half:
            assume(assumed, "assumed.rain_credit"_text, "assumed.rain_credit_half"_text,
                   {"assumed.rain_credit_why"_text, Basis::common_practice});
            assume(assumed, "assumed.near_peak"_text, "assumed.near_peak_value"_text,
                   {"assumed.near_peak_why"_text, Basis::own_choice});
            assume(assumed, "assumed.effective_rain"_text, "assumed.effective_rain_scs"_text,
                   {"source.scs"_text, Basis::second_hand});
            break;
        case RainRule::scs:
            assume(assumed, "assumed.effective_rain"_text, "assumed.effective_rain_scs"_text,
                   {"source.scs"_text, Basis::second_hand});
            break;
        case RainRule::dependable:
            assume(assumed, "assumed.effective_rain"_text, "assumed.effective_rain_dependable"_text,
                   {"source.fao_rain"_text, Basis::memory});
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
        assume(assumed, "assumed.rain"_text, "assumed.rain_unknown"_text,
               {"assumed.rain_unknown_why"_text, Basis::own_choice});
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
                        english(rate_phrase(sprinkled.rate_mm_per_h)) +
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
