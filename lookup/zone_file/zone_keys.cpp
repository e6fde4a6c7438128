#include "lookup/zone_file/zone_keys.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "lookup/demand/exact_units.hpp"
#include "lookup/demand/zone_ranges.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {
namespace {

constexpr std::array<std::string_view, 2> kPlantings{"cool turf", "warm turf"};
constexpr std::array<std::string_view, 2> kTurfCoefficients{"flat", "california"};
constexpr std::array<std::string_view, 3> kExposures{"average", "shaded", "hot"};
constexpr std::array<std::string_view, 12> kSoils{
    "clay", "silty clay", "sandy clay", "silty clay loam", "clay loam",  "sandy clay loam",
    "silt", "silt loam",  "loam",       "sandy loam",      "loamy sand", "sand"};
constexpr std::array<std::string_view, 3> kRainCredits{"half", "none", "soil-storage"};
constexpr std::array<std::string_view, 4> kDayRules{"any", "odd", "even", "by address"};
constexpr std::array<std::string_view, 2> kExemptKinds{"drip", "new plantings"};
constexpr std::array<std::string_view, 6> kWaterUnits{"kgal", "gal", "hundred cubic feet",
                                                      "ccf",  "m3",  "l"};

constexpr std::array<std::string_view, 2> kLanguages{"en", "es"};

constexpr ValueRange kMoney{0.0, 1e6};

constexpr double kMmPerMetreOfInchPerFoot = 1000.0 / 12.0;

std::span<const ZoneKey> all_keys() {
    using enum KeyTable;
    using enum ValueKind;
    static constexpr auto kKeys = std::to_array<ZoneKey>({
        // Plants
        {zone, "name", Quantity::zone_name, text, "name of the zone"},
        {.table = zone,
         .name = "planting",
         .quantity = Quantity::planting,
         .kind = choice,
         .help = "turf by season: \"cool turf\" or \"warm turf\"",
         .choices = kPlantings},
        {.table = zone,
         .name = "turf_coefficients",
         .quantity = Quantity::turf_coefficients,
         .kind = choice,
         .help = "turf coefficients: flat (default), or california: monthly, for California only",
         .choices = kTurfCoefficients},
        {zone, "plant_factor", Quantity::plant_factor, number, "plant factor, in place of planting",
         kPlantFactorRange},
        {zone, "species", Quantity::species, number,
         "species factor of a landscape coefficient, in place of planting", kSpeciesRange},
        {zone, "density", Quantity::density, number,
         "density factor of a landscape coefficient; default: 1", kDensityRange},
        {zone, "microclimate", Quantity::microclimate, number,
         "microclimate factor of turf or of a landscape coefficient; default: by exposure",
         kMicroclimateRange},
        {zone, "coefficient", Quantity::coefficient, twelve_numbers,
         "crop coefficient, in place of planting: one number, or twelve by commas",
         kCropCoefficientRange},
        {.table = zone,
         .name = "exposure",
         .quantity = Quantity::exposure,
         .kind = choice,
         .help = "exposure of the planting: average, shaded or hot; default: average",
         .choices = kExposures},
        {zone, "program", Quantity::program, whole_number,
         "controller program of the zone; default: assigned by need", kProgramRange},
        {zone, "exempt_zone", Quantity::exempt_zone, yes_or_no,
         "true if the zone is exempt from rules on days, depth, minutes and cycles"},
        {zone, "dormant_months", Quantity::dormant_months, months,
         "dormant months, such as Dec,Jan,Feb, or none; default: by temperature"},
        {zone, "new_planting_until", Quantity::new_planting_until, date,
         "last day of the establishment schedule of a new planting, YYYY-MM-DD"},
        {zone, "new_planting_from", Quantity::new_planting_from, date,
         "first day of the establishment schedule, YYYY-MM-DD"},
        {zone, "new_planting_minutes", Quantity::new_planting_minutes, number,
         "minutes per run of the establishment schedule", kNewPlantingMinutesRange},
        {zone, "new_planting_runs_per_day", Quantity::new_planting_runs, whole_number,
         "runs per day of the establishment schedule; default: 1", kNewPlantingRunsRange},
        // Water supply
        {zone, "area_ft2", Quantity::area, number, "planted area, square feet", kAreaM2Range,
         kM2PerFt2},
        {zone, "area_m2", Quantity::area, number, "planted area, square meters", kAreaM2Range},
        {zone, "rate_in_per_h", Quantity::rate, number,
         "precipitation rate, in/hr: from a catch-can test or nozzle chart", kRateMmPerHRange,
         kMmPerInch},
        {zone, "rate_mm_per_h", Quantity::rate, number, "precipitation rate, mm/h",
         kRateMmPerHRange},
        {zone, "flow_gpm", Quantity::zone_flow, number,
         "zone flow, gallons per minute, in place of the rate", kFlowLPerMinRange,
         kLitresPerGallon},
        {zone, "flow_l_per_min", Quantity::zone_flow, number,
         "zone flow, liters per minute, in place of the rate", kFlowLPerMinRange},
        {zone, "emitters", Quantity::emitters, whole_number,
         "drip: number of emitters in the zone, in place of the rate", kCountRange},
        {zone, "gph_each", Quantity::emitter_flow, number,
         "drip: flow of each emitter, gallons per hour", kEmitterLPerHRange, kLitresPerGallon},
        {zone, "l_per_h_each", Quantity::emitter_flow, number,
         "drip: flow of each emitter, liters per hour", kEmitterLPerHRange},
        {zone, "wetted_ft2", Quantity::wetted_area, number,
         "drip: wetted area, square feet; default: the planted area", kAreaM2Range, kM2PerFt2},
        {zone, "wetted_m2", Quantity::wetted_area, number, "drip: wetted area, square meters",
         kAreaM2Range},
        {zone, "plants", Quantity::plants, whole_number,
         "drip: number of plants, to show a volume per plant", kCountRange},
        {zone, "distribution_uniformity", Quantity::distribution_uniformity, number,
         "distribution uniformity, lower quarter (DU_LQ), 0-1", kUniformityRange},
        {zone, "efficiency", Quantity::efficiency, number,
         "application efficiency, 0-1, in place of the uniformity", kUniformityRange},
        // Measured in the zone
        {zone, "catch_can_in", Quantity::catch_can_depths, numbers,
         "catch-can test: depths in inches, by commas; gives rate and uniformity", kCatchCanMmRange,
         kMmPerInch},
        {zone, "catch_can_mm", Quantity::catch_can_depths, numbers,
         "catch-can test: depths in mm, by commas", kCatchCanMmRange},
        {zone, "catch_can_ml", Quantity::catch_can_volumes, numbers,
         "catch-can test: volumes in ml, by commas", kCatchCanMlRange},
        {zone, "catch_can_area_in2", Quantity::catch_can_area, number,
         "catch-can test by volume: opening of a can, square inches", kCatchCanCm2Range,
         kCm2PerIn2},
        {zone, "catch_can_area_cm2", Quantity::catch_can_area, number,
         "catch-can test by volume: opening of a can, square centimeters", kCatchCanCm2Range},
        {zone, "catch_can_minutes", Quantity::catch_can_minutes, number,
         "catch-can test: run time, minutes", kCatchCanMinutesRange},
        {zone, "nozzle_gpm", Quantity::nozzle_flow, number,
         "flow of one nozzle, gallons per minute; with its area, in place of the rate",
         kFlowLPerMinRange, kLitresPerGallon},
        {zone, "nozzle_l_per_min", Quantity::nozzle_flow, number,
         "flow of one nozzle, liters per minute; with its area, in place of the rate",
         kFlowLPerMinRange},
        {zone, "nozzle_area_ft2", Quantity::nozzle_area, number,
         "area that one nozzle covers (spacing by row spacing), square feet", kAreaM2Range,
         kM2PerFt2},
        {zone, "nozzle_area_m2", Quantity::nozzle_area, number,
         "area that one nozzle covers, square meters", kAreaM2Range},
        // Soil
        {.table = zone,
         .name = "soil",
         .quantity = Quantity::soil,
         .kind = choice,
         .help = "soil texture by USDA name, such as clay loam",
         .choices = kSoils},
        {zone, "sand_percent", Quantity::sand_percent, number,
         "soil test: sand, percent by weight; with clay, gives the texture", kSoilShareRange},
        {zone, "clay_percent", Quantity::clay_percent, number, "soil test: clay, percent by weight",
         kSoilShareRange},
        {zone, "field_capacity_percent", Quantity::field_capacity, number,
         "soil test: water at field capacity, percent by volume; with the wilting point, gives the "
         "available water",
         kSoilShareRange},
        {zone, "wilting_point_percent", Quantity::wilting_point, number,
         "soil test: water at wilting point, percent by volume", kSoilShareRange},
        {zone, "available_water_in_per_ft", Quantity::available_water, number,
         "available water of the soil, in/ft; default: by texture", kAvailableWaterMmPerMRange,
         kMmPerMetreOfInchPerFoot},
        {zone, "available_water_mm_per_m", Quantity::available_water, number,
         "available water of the soil, mm/m", kAvailableWaterMmPerMRange},
        {zone, "intake_in_per_h", Quantity::intake, number,
         "basic intake rate, in/hr; default: by texture", kIntakeMmPerHRange, kMmPerInch},
        {zone, "intake_mm_per_h", Quantity::intake, number, "basic intake rate, mm/h",
         kIntakeMmPerHRange},
        {zone, "surface_storage_in", Quantity::surface_storage, number,
         "allowable surface accumulation, in; default: by texture and slope",
         kSurfaceStorageMmRange, kMmPerInch},
        {zone, "surface_storage_mm", Quantity::surface_storage, number,
         "allowable surface accumulation, mm", kSurfaceStorageMmRange},
        {zone, "slope_percent", Quantity::slope, number, "slope of the ground, percent",
         kSlopePercentRange},
        {zone, "root_depth_in", Quantity::root_depth, number,
         "root depth, inches; default: by planting", kRootDepthMmRange, kMmPerInch},
        {zone, "root_depth_mm", Quantity::root_depth, number, "root depth, millimeters",
         kRootDepthMmRange},
        {zone, "allowed_depletion", Quantity::allowed_depletion, number,
         "allowed depletion of the available water, 0-1; default: 0.5", kAllowedDepletionRange},
        {zone, "water_ec_ds_per_m", Quantity::water_salinity, number,
         "salinity of the water (ECw), dS/m", kWaterEcDsPerMRange},
        {zone, "tolerated_ec_ds_per_m", Quantity::tolerated_salinity, number,
         "soil-salinity threshold of the plants (ECe), dS/m", kToleratedEcDsPerMRange},
        {.table = zone,
         .name = "rain_credit",
         .quantity = Quantity::rain_credit,
         .kind = choice_or_share,
         .help = "rain credited: half (default), none, soil-storage (USDA-SCS) or a share, 0-1",
         .range = kRainShareRange,
         .choices = kRainCredits},
        // Local rules
        {.table = site,
         .name = "allowed_days",
         .quantity = Quantity::allowed_days,
         .kind = days,
         .help = "watering days, such as Mon,Wed,Fri, or odd, even, any; \"by address\": odd or "
                 "even dates like the house number",
         .choices = kDayRules},
        {site, "window_hours", Quantity::window_hours, number, "daily water window, hours",
         kWindowHoursRange},
        {.table = site,
         .name = "flow_gpm",
         .quantity = Quantity::site_flow,
         .kind = number,
         .help = "available flow at the point of connection, gallons per minute",
         .range = kFlowLPerMinRange,
         .si_per_unit = kLitresPerGallon,
         .option_word = "site-flow-gpm"},
        {.table = site,
         .name = "flow_l_per_min",
         .quantity = Quantity::site_flow,
         .kind = number,
         .help = "available flow at the point of connection, liters per minute",
         .range = kFlowLPerMinRange,
         .option_word = "site-flow-l-per-min"},
        {site, "yearly_allowance_gal", Quantity::yearly_allowance, number,
         "annual water allowance, gallons", kAllowanceLRange, kLitresPerGallon},
        {site, "yearly_allowance_m3", Quantity::yearly_allowance, number,
         "annual water allowance, cubic meters", kAllowanceLRange, kLitresPerCubicMetre},
        {site, "yearly_allowance_l", Quantity::yearly_allowance, number,
         "annual water allowance, liters", kAllowanceLRange},
        {site, "monthly_allowance_gal", Quantity::monthly_allowance, number,
         "monthly water allowance, gallons", kAllowanceLRange, kLitresPerGallon},
        {site, "monthly_allowance_m3", Quantity::monthly_allowance, number,
         "monthly water allowance, cubic meters", kAllowanceLRange, kLitresPerCubicMetre},
        {site, "monthly_allowance_l", Quantity::monthly_allowance, number,
         "monthly water allowance, liters", kAllowanceLRange},
        {site, "weekly_depth_cap_in", Quantity::weekly_depth_cap, number,
         "maximum depth per week on any zone, inches", kWeeklyDepthMmRange, kMmPerInch},
        {site, "weekly_depth_cap_mm", Quantity::weekly_depth_cap, number,
         "maximum depth per week on any zone, mm", kWeeklyDepthMmRange},
        {site, "days_per_week_cap", Quantity::days_per_week_cap, whole_number,
         "maximum watering days per week", kDaysPerWeekRange},
        {site, "runs_per_week_cap", Quantity::runs_per_week_cap, whole_number,
         "maximum cycles per zone per week", kRunsPerWeekRange},
        {site, "minutes_per_day_cap", Quantity::minutes_per_day_cap, number,
         "maximum minutes per zone per day", kMinutesPerDayRange},
        {site, "cycles_per_day_cap", Quantity::cycles_per_day_cap, whole_number,
         "maximum cycles per zone per day", kCyclesPerDayRange},
        {site, "window_start", Quantity::window_start, clock,
         "start of the daily water window, such as 22:00"},
        {site, "barred_hours", Quantity::barred_hours, hours,
         "hours without watering, such as \"10:00-18:00; Sat, Sun 08:00-20:00\""},
        {site, "house_number", Quantity::house_number, whole_number,
         "house number, for rules by address", kHouseNumberRange},
        {site, "address_days", Quantity::address_days, digits_days,
         "watering days by house number, such as \"odd: Wed, Sat; even: Thu, Sun\", or by last "
         "digit "
         "\"0-4: Mon; 5-9: Tue\""},
        {.table = site,
         .name = "exempt",
         .quantity = Quantity::exempt_kinds,
         .kind = zone_kinds,
         .help = "kinds of zone exempt from rules on days, depth, minutes and cycles: drip, "
                 "new plantings",
         .choices = kExemptKinds},
        {site, "current_percent", Quantity::current_percent, twelve_numbers,
         "monthly percentages that the controller has now, for comparison", kCurrentPercentRange},
        // Controller and season
        {controller, "programs", Quantity::programs, whole_number,
         "number of programs of the controller; default: 3", kProgramRange},
        {controller, "minute_step", Quantity::minute_step, number,
         "smallest step of run times, minutes; default: 1", kMinuteStepRange},
        {controller, "percent_step", Quantity::percent_step, whole_number,
         "smallest step of the seasonal adjustment, percent; default: 5", kPercentStepRange},
        // Percentages never exceed 100: the base schedule is that of the peak month.
        {controller,
         "percent_max",
         Quantity::percent_max,
         whole_number,
         "maximum seasonal adjustment of the controller, percent; plans never exceed 100",
         {100.0, 999.0}},
        {controller, "start_times", Quantity::start_times, whole_number,
         "start times per program; they limit cycles per day", kStartTimesRange},
        {controller, "interval_days", Quantity::interval_days, yes_or_no,
         "true (default) if days may be set by interval; false: weekdays only"},
        {controller, "cycles_possible", Quantity::cycles_possible, yes_or_no,
         "true (default) if a zone may run several cycles per watering day"},
        {controller, "valves_at_once", Quantity::valves_at_once, whole_number,
         "maximum number of valves open together, within the available flow; default: 1",
         kValvesAtOnceRange},
        // Metered use, in a file only
        {.table = meter,
         .name = "unit",
         .quantity = Quantity::meter_unit,
         .kind = choice,
         .help = "unit of the meter readings",
         .choices = kWaterUnits},
        {meter, "readings", Quantity::meter_readings, readings, "dates and meter readings"},
        {meter, "house_use", Quantity::house_use, number,
         "metered use that is not for watering, units per month", kMoney},
        // Restrictions for a part of the year, in a file only
        {restriction, "from", Quantity::restriction_from, year_day, "first day, MM-DD"},
        {restriction, "to", Quantity::restriction_to, year_day, "last day, MM-DD"},
        {.table = restriction,
         .name = "allowed_days",
         .quantity = Quantity::allowed_days,
         .kind = days,
         .help = "as in [site]",
         .choices = kDayRules},
        {restriction, "address_days", Quantity::address_days, digits_days, "as in [site]"},
        {restriction, "barred_hours", Quantity::barred_hours, hours, "as in [site]"},
        {restriction, "weekly_depth_cap_in", Quantity::weekly_depth_cap, number, "as in [site]",
         kWeeklyDepthMmRange, kMmPerInch},
        {restriction, "weekly_depth_cap_mm", Quantity::weekly_depth_cap, number, "as in [site]",
         kWeeklyDepthMmRange},
        {restriction, "minutes_per_day_cap", Quantity::minutes_per_day_cap, number, "as in [site]",
         kMinutesPerDayRange},
        {restriction, "cycles_per_day_cap", Quantity::cycles_per_day_cap, whole_number,
         "as in [site]", kCyclesPerDayRange},
        {restriction, "days_per_week_cap", Quantity::days_per_week_cap, whole_number,
         "as in [site]", kDaysPerWeekRange},
        {restriction, "runs_per_week_cap", Quantity::runs_per_week_cap, whole_number,
         "as in [site]", kRunsPerWeekRange},
        {.table = season,
         .name = "start",
         .quantity = Quantity::season_start,
         .kind = year_day,
         .help = "first day with water, MM-DD; default: by temperature",
         .option_word = "season-start"},
        {.table = season,
         .name = "stop",
         .quantity = Quantity::season_stop,
         .kind = year_day,
         .help = "last day with water, MM-DD",
         .option_word = "season-stop"},
        // The job
        {job, "customer", Quantity::customer, text, "name of the customer"},
        {job, "address", Quantity::address, text, "address of the site"},
        {job, "at", Quantity::job_position, text, "coordinates, latitude first"},
        {job, "postal", Quantity::job_postal, text, "postal code of the site, in place of at"},
        {job, "country", Quantity::job_country, text, "country of the postal code"},
        {job, "elevation", Quantity::job_elevation, text, "elevation of the site"},
        {job, "contractor", Quantity::contractor, text, "contractor who prepared the plan"},
        {job, "license", Quantity::license, text, "license of the contractor"},
        {job, "date", Quantity::job_date, date, "date of the plan"},
        {job, "notes", Quantity::notes, text, "notes for the customer"},
        {.table = job,
         .name = "language",
         .quantity = Quantity::job_language,
         .kind = choice,
         .help = "language of the plan: en or es",
         .choices = kLanguages},
        // Water price
        {.table = water,
         .name = "unit",
         .quantity = Quantity::water_unit,
         .kind = choice,
         .help = "billing unit of water: kgal, gal, hundred cubic feet, m3 or l",
         .choices = kWaterUnits,
         .option_word = "water-unit"},
        {water, "tiers", Quantity::tiers, price_tiers,
         "price per unit by tier, such as 10:3.10,5.40: the first 10 units at 3.10, the rest at "
         "5.40",
         kMoney},
        {water,
         "billing_months",
         Quantity::billing_months,
         whole_number,
         "billing period, months; default: 1",
         {1.0, 12.0}},
        {water, "fixed", Quantity::fixed_charge, number, "fixed charge per bill", kMoney},
        {water, "indoor_use", Quantity::indoor_use, number, "indoor use per billing period, units",
         kMoney},
        {water,
         "sewer_share",
         Quantity::sewer_share,
         number,
         "sewer charge as a share of the water charge, 0-3",
         {0.0, 3.0}},
        {water, "currency", Quantity::currency, text,
         "currency symbol, written before amounts, such as \"$\""},
    });
    return kKeys;
}

/// "0.2", "1500", "118": three digits are enough to identify a wrong value.
std::string short_number(double value) {
    std::array<char, 32> text{};
    std::snprintf(text.data(), text.size(), std::fabs(value) < 1e4 ? "%.4g" : "%.0f", value);
    return text.data();
}

/// A limit that is round in SI, in the unit of the key: two digits, within the range.
double rounded_limit(double limit, bool is_least) {
    if (limit == 0.0) return limit;
    const double step = std::pow(10.0, std::floor(std::log10(std::fabs(limit))) - 1.0);
    const double steps = limit / step;
    return (is_least ? std::ceil(steps - 1e-9) : std::floor(steps + 1e-9)) * step;
}

/// "from 0.11 to 100 million"
std::string range_in_words(const ZoneKey& key) {
    double least = key.range.least / key.si_per_unit;
    double greatest = key.range.greatest / key.si_per_unit;
    if (key.si_per_unit != 1.0) {
        least = rounded_limit(least, true);
        greatest = rounded_limit(greatest, false);
    }
    constexpr double kMillion = 1e6;
    const std::string last = greatest >= 10.0 * kMillion
                                 ? short_number(greatest / kMillion) + " million"
                                 : short_number(greatest);
    return "from " + short_number(least) + " to " + last;
}

std::string wanted_number(const ZoneKey& key) {
    const std::string noun = key.kind == ValueKind::whole_number ? "a whole number" : "a number";
    return noun + " " + range_in_words(key);
}

std::string listed_choices(const ZoneKey& key) {
    std::string list;
    for (std::size_t i = 0; i < key.choices.size(); ++i) {
        if (i > 0) list += i + 1 == key.choices.size() ? " or " : ", ";
        list += "\"" + std::string(key.choices[i]) + "\"";
    }
    return list;
}

}  // namespace

std::string_view table_name(KeyTable table) {
    using enum KeyTable;
    switch (table) {
        case site:
            return "[site]";
        case water:
            return "[water]";
        case zone:
            return "[[zone]]";
        case controller:
            return "[controller]";
        case season:
            return "[season]";
        case job:
            return "[job]";
        case restriction:
            return "[[restriction]]";
        case meter:
            return "[meter]";
    }
    return "";
}

std::span<const ZoneKey> zone_keys() {
    return all_keys();
}

std::string option_name(const ZoneKey& key) {
    std::string name(key.option_word.empty() ? key.name : key.option_word);
    std::replace(name.begin(), name.end(), '_', '-');
    return "--" + name;
}

std::string wanted_value(const ZoneKey& key) {
    using enum ValueKind;
    switch (key.kind) {
        case number:
        case whole_number:
            return wanted_number(key);
        case text:
            return "text that is not empty";
        case choice:
            return listed_choices(key);
        case choice_or_share:
            return listed_choices(key) + ", or " + wanted_number(key);
        case days:
            return listed_choices(key) + ", or weekdays such as \"Mon, Wed, Fri\"";
        case twelve_numbers:
            return "one number or twelve, each from " + short_number(key.range.least) + " to " +
                   short_number(key.range.greatest);
        case months:
            return "a list of months, such as Dec, Jan or 12, 1";
        case date:
            return "a date such as 2030-05-31";
        case yes_or_no:
            return "true or false";
        case year_day:
            return "a day of the year such as 04-15";
        case clock:
            return "a time of day such as 22:00";
        case hours:
            return "hours such as 10:00-18:00, or \"10:00-18:00; Sat, Sun 08:00-20:00\"";
        case digits_days:
            return "days by house number such as \"odd: Wed, Sat; even: Thu, Sun\" or "
                   "\"0-4: Mon; 5-9: Tue\"";
        case zone_kinds:
            return "a list of " + listed_choices(key);
        case numbers:
            return "a list of at least four numbers, each " + range_in_words(key) + ", not all 0";
        case readings:
            return "a list of at least two readings in order of their dates, such as "
                   "[ { date = 2027-05-01, reading = 1204 }, … ], each not below the one before";
        case price_tiers:
            return "a list of prices such as 10:3.10,5.40 (first 10 units at 3.10, the rest at "
                   "5.40)";
    }
    return "";
}

}  // namespace thirstline
