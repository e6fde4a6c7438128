// All keys that describe a zone: one table for the keys of a zone file and the options of the
// command, so that the two cannot diverge.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "lookup/demand/zone_ranges.hpp"

namespace thirstline {

/// The table of the file in which a key belongs.
enum class KeyTable {
    site,         ///< [site]
    water,        ///< [water]
    zone,         ///< [[zone]]
    controller,   ///< [controller]
    season,       ///< [season]
    job,          ///< [job]: in a file only
    restriction,  ///< [[restriction]]: in a file only
    meter,        ///< [meter]: in a file only
};

/// "[site]", "[water]", "[[zone]]", "[controller]", "[season]", "[job]", "[[restriction]]" or
/// "[meter]"
[[nodiscard]] std::string_view table_name(KeyTable table);

/// The meaning of a key. Keys of one quantity differ only in unit: only one of them may be given.
enum class Quantity {
    // [site]
    allowed_days,
    window_hours,
    site_flow,
    yearly_allowance,
    monthly_allowance,
    weekly_depth_cap,
    days_per_week_cap,
    runs_per_week_cap,
    minutes_per_day_cap,
    cycles_per_day_cap,
    window_start,
    barred_hours,
    house_number,
    address_days,
    exempt_kinds,
    current_percent,
    // [[restriction]], in addition to some of [site]
    restriction_from,
    restriction_to,
    // [controller]
    programs,
    minute_step,
    percent_step,
    percent_max,
    start_times,
    interval_days,
    cycles_possible,
    valves_at_once,
    // [season]
    season_start,
    season_stop,
    // [job]
    customer,
    address,
    job_position,
    job_postal,
    job_country,
    job_elevation,
    contractor,
    license,
    job_date,
    notes,
    job_language,
    // [water]
    water_unit,
    billing_months,
    fixed_charge,
    indoor_use,
    sewer_share,
    tiers,
    currency,
    // [[zone]]
    zone_name,
    planting,
    turf_coefficients,
    plant_factor,
    species,
    density,
    microclimate,
    coefficient,
    exposure,
    dormant_months,
    new_planting_until,
    new_planting_from,
    new_planting_minutes,
    new_planting_runs,
    area,
    rate,
    zone_flow,
    emitters,
    emitter_flow,
    wetted_area,
    plants,
    distribution_uniformity,
    efficiency,
    soil,
    available_water,
    intake,
    surface_storage,
    slope,
    root_depth,
    allowed_depletion,
    water_salinity,
    tolerated_salinity,
    rain_credit,
    program,
    exempt_zone,
    catch_can_depths,
    catch_can_volumes,
    catch_can_area,
    catch_can_minutes,
    nozzle_flow,
    nozzle_area,
    sand_percent,
    clay_percent,
    field_capacity,
    wilting_point,
    // [meter]
    meter_unit,
    meter_readings,
    house_use,
};

enum class ValueKind {
    number,
    whole_number,
    text,
    choice,           ///< one of `choices`
    choice_or_share,  ///< one of `choices`, or a number in the range
    days,             ///< one of `choices`, or a list of weekdays
    twelve_numbers,   ///< or one number, for every month
    months,           ///< a list of months, by number or name; may be empty
    date,
    yes_or_no,
    year_day,     ///< "04-15"
    clock,        ///< "22:00"
    hours,        ///< "10:00-18:00; Sat, Sun 08:00-20:00"
    digits_days,  ///< "odd: Wed, Sat; even: Thu, Sun"
    zone_kinds,   ///< a list of `choices`
    numbers,      ///< a list of numbers, at least kMinCatchCans
    readings,     ///< dates and numbers, in order, at least two
    price_tiers,
};

struct ZoneKey {
    KeyTable table;
    std::string_view name;  ///< "area_ft2"
    Quantity quantity;
    ValueKind kind;
    std::string_view help;  ///< for the option
    ValueRange range{};     ///< of numbers, in SI
    double si_per_unit = 1.0;
    std::span<const std::string_view> choices{};
    std::string_view option_word{};  ///< if the key's own name would be misleading on a command
                                     ///< line
};

/// In the order of the help text.
[[nodiscard]] std::span<const ZoneKey> zone_keys();

/// Whether the key is also an option of the command.
[[nodiscard]] constexpr bool is_option(const ZoneKey& key) {
    return key.table != KeyTable::job && key.table != KeyTable::restriction &&
           key.table != KeyTable::meter;
}

/// "--area-ft2"
[[nodiscard]] std::string option_name(const ZoneKey& key);

/// Description of a valid value, for messages: "a number from 0 to 100".
[[nodiscard]] std::string wanted_value(const ZoneKey& key);

}  // namespace thirstline
