#include "lookup/zone_file/zone_assembly.hpp"

#include <algorithm>
#include <array>
#include <initializer_list>
#include <string>
#include <utility>
#include <vector>

#include "lookup/demand/exact_units.hpp"
#include "lookup/demand/field_measurements.hpp"
#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/zone_file/assembly_messages.hpp"
#include "lookup/zone_file/measurement_assembly.hpp"
#include "lookup/zone_file/rules_assembly.hpp"
#include "schema/base/words.hpp"

namespace thirstline {
namespace {

using enum Quantity;

/// Values of which at most one may be given, or exactly one is required.
struct Alternatives {
    std::initializer_list<Quantity> quantities;
    bool one_is_required;
    std::string_view noun;  ///< what they give, if one is required
};

const std::array<Alternatives, 7>& zone_alternatives() {
    static const std::array<Alternatives, 7> kAll{{
        {{planting, plant_factor, species, coefficient}, true, "a planting"},
        {{rate, zone_flow, emitters, catch_can_depths, catch_can_volumes, nozzle_flow},
         true,
         "an application rate"},
        {{distribution_uniformity, efficiency, catch_can_depths, catch_can_volumes}, false, ""},
        {{soil, sand_percent}, false, ""},
        {{available_water, field_capacity}, false, ""},
        {{catch_can_depths, catch_can_area}, false, ""},
        {{microclimate, exposure}, false, ""},
    }};
    return kAll;
}

/// A value that is only valid together with another.
struct Dependence {
    Quantity quantity;
    Quantity needed;
};

constexpr std::array<Dependence, 20> kZoneDependences{{
    {catch_can_depths, catch_can_minutes},
    {catch_can_volumes, catch_can_minutes},
    {catch_can_volumes, catch_can_area},
    {catch_can_area, catch_can_volumes},
    {nozzle_flow, nozzle_area},
    {nozzle_area, nozzle_flow},
    {sand_percent, clay_percent},
    {clay_percent, sand_percent},
    {field_capacity, wilting_point},
    {wilting_point, field_capacity},
    {turf_coefficients, planting},
    {density, species},
    {emitter_flow, emitters},
    {emitters, emitter_flow},
    {wetted_area, emitters},
    {plants, emitters},
    {tolerated_salinity, water_salinity},
    {new_planting_from, new_planting_until},
    {new_planting_minutes, new_planting_until},
    {new_planting_runs, new_planting_until},
}};

/// "planting, plant_factor, species or coefficient", or the options; each in its first unit.
std::string names_of(const Alternatives& alternatives, const ValuePlace& place) {
    std::vector<std::string> names;
    for (const Quantity quantity : alternatives.quantities) {
        const auto keys = zone_keys();
        const auto key = std::find_if(keys.begin(), keys.end(), [quantity](const ZoneKey& any) {
            return any.quantity == quantity;
        });
        names.push_back(place.file.empty() ? option_name(*key) : std::string(key->name));
    }
    return joined_with_or(names);
}

Result<void> check_alternatives(const ZoneValues& values, const Alternatives& alternatives) {
    const ZoneValue* first = nullptr;
    for (const Quantity quantity : alternatives.quantities) {
        const ZoneValue* found = values.find(quantity);
        if (found == nullptr) continue;
        if (first == nullptr) {
            first = found;
            continue;
        }
        const bool is_flow = found->key->quantity == zone_flow || first->key->quantity == zone_flow;
        return fail_at(
            found->place,
            subject(*found->key, found->place) + " and " + mention(*first->key, first->place) +
                " exclude each other; keep one of them",
            is_flow ? (found->place.file.empty() ? "the flow of the whole site is --site-flow-gpm"
                                                 : "the flow of the whole site belongs to [site]")
                    : "");
    }
    if (first == nullptr && alternatives.one_is_required) {
        return fail_at(values.place, table_start(values.place, KeyTable::zone) + "needs " +
                                         std::string(alternatives.noun) + ": " +
                                         names_of(alternatives, values.place));
    }
    return {};
}

Result<void> check_dependences(const ZoneValues& values) {
    for (const Dependence& dependence : kZoneDependences) {
        const ZoneValue* found = values.find(dependence.quantity);
        if (found == nullptr || values.has(dependence.needed)) continue;
        return fail_at(found->place, subject(*found->key, found->place) + " needs " +
                                         asked_for(dependence.needed, found->place));
    }
    return {};
}

Result<void> check_zone(const ZoneValues& values) {
    TRY(check_single_units(values));
    for (const Alternatives& alternatives : zone_alternatives())
        TRY(check_alternatives(values, alternatives));
    TRY(check_dependences(values));
    TRY(check_measurements(values));
    const ZoneValue* factor = values.find(microclimate);
    if (factor != nullptr && !values.has(species) && !values.has(planting)) {
        return fail_at(factor->place, subject(*factor->key, factor->place) + " needs " +
                                          asked_for(species, factor->place) + " or " +
                                          asked_for(planting, factor->place));
    }
    if (!values.has(area) && !values.has(wetted_area)) {
        return fail_at(values.place, table_start(values.place, KeyTable::zone) +
                                         "needs the area of the zone; add " +
                                         asked_for(area, values.place));
    }
    const ZoneValue* until = values.find(new_planting_until);
    if (until != nullptr && !values.has(new_planting_minutes)) {
        return fail_at(until->place, subject(*until->key, until->place) + " needs " +
                                         asked_for(new_planting_minutes, until->place));
    }
    const ZoneValue* from = values.find(new_planting_from);
    if (until != nullptr && from != nullptr &&
        std::get<CalendarDay>(until->value) < std::get<CalendarDay>(from->value)) {
        return fail_at(until->place, subject(*until->key, until->place) + " is before " +
                                         mention(*from->key, from->place) +
                                         "; correct one of them");
    }
    return {};
}

TurfSeason turf_season(const std::string& word) {
    return word == "warm turf" ? TurfSeason::warm : TurfSeason::cool;
}

Planting planting_of(const ZoneValues& values) {
    if (const auto value = values.number(plant_factor)) return PlantFactor{*value};
    if (const auto value = values.number(species)) {
        return LandscapeCoefficient{*value, values.number(density), values.number(microclimate)};
    }
    if (const auto value = values.get<Monthly<double>>(coefficient)) {
        return CropCoefficient{*value};
    }
    return Turf{turf_season(values.word(planting)),
                values.word(turf_coefficients) == "california" ? TurfCoefficients::california
                                                               : TurfCoefficients::flat,
                values.number(microclimate)};
}

Application application_of(const ZoneValues& values) {
    if (const auto value = values.number(rate)) return ApplicationRate{*value};
    if (const auto value = values.number(zone_flow)) return ZoneFlow{*value};
    if (const auto test = catch_can_test_of(values)) return ApplicationRate{test->rate_mm_per_h};
    if (const auto value = values.number(nozzle_flow)) {
        return ApplicationRate{
            precipitation_rate_mm_per_h(*value, values.number(nozzle_area).value_or(1.0))};
    }
    return Drip{values.whole_number(emitters).value_or(0),
                values.number(emitter_flow).value_or(0.0), values.number(wetted_area),
                values.whole_number(plants)};
}

std::optional<Uniformity> uniformity_of(const ZoneValues& values) {
    if (const auto value = values.number(distribution_uniformity)) {
        return DistributionUniformity{*value};
    }
    if (const auto value = values.number(efficiency)) return ApplicationEfficiency{*value};
    if (const auto test = catch_can_test_of(values))
        return DistributionUniformity{test->lowest_quarter};
    return std::nullopt;
}

std::optional<Exposure> exposure_of(const ZoneValues& values) {
    const std::string word = values.word(exposure);
    if (word.empty()) return std::nullopt;
    if (word == "shaded") return Exposure::shaded;
    return word == "hot" ? Exposure::hot : Exposure::average;
}

std::optional<NewPlanting> new_planting_of(const ZoneValues& values) {
    const auto until = values.get<CalendarDay>(new_planting_until);
    if (!until) return std::nullopt;
    return NewPlanting{values.number(new_planting_minutes).value_or(0.0),
                       values.whole_number(new_planting_runs).value_or(1),
                       values.get<CalendarDay>(new_planting_from), *until};
}

std::optional<Salinity> salinity_of(const ZoneValues& values) {
    const auto water_ec = values.number(water_salinity);
    if (!water_ec) return std::nullopt;
    return Salinity{*water_ec, values.number(tolerated_salinity)};
}

Zone zone_of(const ZoneValues& values, std::size_t number) {
    Zone zone;
    zone.name = values.get<std::string>(zone_name).value_or("zone " + std::to_string(number));
    zone.planting = planting_of(values);
    zone.new_planting = new_planting_of(values);
    zone.area_m2 = values.number(area);
    zone.application = application_of(values);
    zone.uniformity = uniformity_of(values);
    zone.soil = {texture_of(values), available_water_of(values), values.number(intake),
                 values.number(surface_storage)};
    zone.root_depth_mm = values.number(root_depth);
    zone.allowed_depletion = values.number(allowed_depletion);
    zone.slope_percent = values.number(slope);
    zone.exposure = exposure_of(values);
    zone.salinity = salinity_of(values);
    zone.rain_credit = values.get<RainCredit>(rain_credit);
    zone.program = values.whole_number(program);
    zone.is_exempt = values.get<bool>(exempt_zone).value_or(false);
    zone.dormant_months = values.get<Monthly<bool>>(dormant_months);
    return zone;
}

Controller controller_of(const ZoneValues& values) {
    Controller controller;
    controller.programs = values.whole_number(programs).value_or(controller.programs);
    controller.minute_step = values.number(minute_step).value_or(controller.minute_step);
    controller.percent_step = values.whole_number(percent_step).value_or(controller.percent_step);
    controller.start_times = values.whole_number(start_times);
    controller.interval_days = values.get<bool>(interval_days).value_or(controller.interval_days);
    controller.cycles_possible =
        values.get<bool>(cycles_possible).value_or(controller.cycles_possible);
    controller.valves_at_once =
        values.whole_number(valves_at_once).value_or(controller.valves_at_once);
    return controller;
}

/// For several open valves the available flow must be known.
Result<void> check_valves(const ZoneValues& controller, const ZoneValues& site) {
    const ZoneValue* valves = controller.find(valves_at_once);
    if (valves == nullptr || std::get<double>(valves->value) <= 1.0 || site.has(site_flow))
        return {};
    return fail_at(valves->place, subject(*valves->key, valves->place) +
                                      " needs the available flow of the site, " +
                                      asked_for(site_flow, valves->place));
}

JobSheet job_of(const ZoneValues& values) {
    return {values.word(customer),
            values.word(address),
            values.word(job_position),
            values.word(job_postal),
            values.word(job_country),
            values.word(job_elevation),
            values.word(contractor),
            values.word(license),
            values.has(job_date) ? iso_date(*values.get<CalendarDay>(job_date)) : std::string(),
            values.word(notes),
            language_named(values.word(job_language))};
}

Result<std::optional<Season>> season_of(const ZoneValues& values) {
    const auto start = values.get<YearDay>(season_start);
    const auto stop = values.get<YearDay>(season_stop);
    if (start && stop) return std::optional(Season{*start, *stop});
    if (!start && !stop) return std::nullopt;
    const ZoneValue* given = values.find(start ? season_start : season_stop);
    return fail_at(given->place, subject(*given->key, given->place) + " needs " +
                                     asked_for(start ? season_stop : season_start, given->place));
}

double litres_per_unit(const std::string& unit) {
    if (unit == "kgal") return kLitresPerThousandGallons;
    if (unit == "gal") return kLitresPerGallon;
    if (unit == "m3") return kLitresPerCubicMetre;
    if (unit == "l") return 1.0;
    return kLitresPerHundredCubicFeet;
}

Result<WaterPrice> price_of(const ZoneValues& values) {
    for (const Quantity quantity : {water_unit, tiers}) {
        if (values.has(quantity)) continue;
        return fail_at(values.place,
                       table_start(values.place, KeyTable::water) +
                           (values.place.file.empty() ? "a water price needs " : "lacks the key ") +
                           asked_for(quantity, values.place));
    }
    WaterPrice price;
    price.litres_per_unit = litres_per_unit(values.word(water_unit));
    price.billing_months = values.whole_number(billing_months).value_or(1);
    price.fixed_per_bill = values.number(fixed_charge).value_or(0.0);
    price.indoor_units_per_bill = values.number(indoor_use).value_or(0.0);
    price.sewer_share = values.number(sewer_share).value_or(0.0);
    price.tiers = *values.get<std::vector<PriceTier>>(tiers);
    if (auto checked = check_water_price(price); !checked) {
        const ValuePlace& place = values.find(tiers)->place;
        return fail_at(place, table_start(values.place, KeyTable::water) + checked.error().message,
                       checked.error().hint);
    }
    return price;
}

Result<MeterRecord> meter_of(const ZoneValues& values) {
    for (const Quantity quantity : {meter_unit, meter_readings}) {
        if (values.has(quantity)) continue;
        return fail_at(values.place, table_start(values.place, KeyTable::meter) + "lacks the key " +
                                         asked_for(quantity, values.place));
    }
    return MeterRecord{litres_per_unit(values.word(meter_unit)),
                       values.number(house_use).value_or(0.0),
                       *values.get<std::vector<MeterReading>>(meter_readings)};
}

Result<void> check_names(const std::vector<Zone>& zones, const std::vector<ZoneValues>& tables) {
    for (std::size_t later = 1; later < zones.size(); ++later) {
        for (std::size_t earlier = 0; earlier < later; ++earlier) {
            if (zones[earlier].name != zones[later].name) continue;
            return fail_at(tables[later].place, table_start(tables[later].place, KeyTable::zone) +
                                                    "has the name " + quoted(zones[later].name) +
                                                    " of the zone in line " +
                                                    std::to_string(tables[earlier].place.line) +
                                                    "; give each its own name");
        }
    }
    return {};
}

}  // namespace

Result<ZoneSet> zone_set(const ZoneTables& tables) {
    ZoneSet set;
    TRY(check_single_units(tables.site));
    set.rules = TRY(local_rules(tables.site, tables.restrictions));
    set.job = job_of(tables.job);
    TRY(check_valves(tables.controller, tables.site));
    set.setup.controller = controller_of(tables.controller);
    set.setup.season = TRY(season_of(tables.season));
    set.setup.current_percents = tables.site.get<Monthly<double>>(current_percent);
    if (tables.water) {
        TRY(check_single_units(*tables.water));
        set.price = TRY(price_of(*tables.water));
        set.currency = tables.water->word(currency);
    }
    if (tables.meter) set.meter = TRY(meter_of(*tables.meter));
    for (const ZoneValues& values : tables.zones) {
        TRY(check_zone(values));
        set.zones.push_back(zone_of(values, set.zones.size() + 1));
    }
    TRY(check_names(set.zones, tables.zones));
    return set;
}

}  // namespace thirstline
