#include "lookup/demand/demand_checks.hpp"

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>

#include "lookup/demand/calendar_dates.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand/rules_of_month.hpp"
#include "lookup/demand/water_window.hpp"
#include "lookup/demand/zone_ranges.hpp"

namespace thirstline {
namespace {

/// Collects the first error about one subject ("zone "north lawn""), so that checks read as a list.
class Checks {
  public:
    explicit Checks(std::string about) : about_(std::move(about)) {}

    void range(std::string_view field, double value, const ValueRange& allowed,
               std::string_view unit = {}) {
        if (is_within(value, allowed)) return;
        const std::string after = unit.empty() ? "" : ' ' + std::string(unit);
        refuse(std::string(field) + " is " + number_text(value) + after + ", but must be between " +
               number_text(allowed.least) + " and " + number_text(allowed.greatest) + after);
    }
    void range(std::string_view field, const std::optional<double>& value,
               const ValueRange& allowed, std::string_view unit = {}) {
        if (value) range(field, *value, allowed, unit);
    }
    void refuse(std::string what, std::string hint = {}) {
        if (error_.message.empty()) {
            error_ = {ErrorCode::bad_input, about_ + ": " + std::move(what), std::move(hint)};
        }
    }
    [[nodiscard]] Result<void> result() const {
        if (error_.message.empty()) return {};
        return fail(error_);
    }

  private:
    std::string about_;
    Error error_;
};

void check_planting(Checks& checks, const Zone& zone) {
    if (const auto* turf = std::get_if<Turf>(&zone.planting)) {
        checks.range("microclimate", turf->microclimate, kMicroclimateRange);
        if (turf->microclimate && zone.exposure) {
            checks.refuse("microclimate and exposure exclude each other; keep one of them");
        }
    } else if (const auto* factor = std::get_if<PlantFactor>(&zone.planting)) {
        checks.range("plant_factor", factor->value, kPlantFactorRange);
    } else if (const auto* landscape = std::get_if<LandscapeCoefficient>(&zone.planting)) {
        checks.range("species", landscape->species, kSpeciesRange);
        checks.range("density", landscape->density, kDensityRange);
        checks.range("microclimate", landscape->microclimate, kMicroclimateRange);
        if (landscape->microclimate && zone.exposure) {
            checks.refuse("microclimate and exposure exclude each other; keep one of them");
        }
    } else if (const auto* crop = std::get_if<CropCoefficient>(&zone.planting)) {
        for (const double coefficient : crop->by_month)
            checks.range("coefficient", coefficient, kCropCoefficientRange);
    }
}

bool is_date(const CalendarDay& day) {
    return day.year >= 1900 && day.year <= 2200 && day.month >= 1 && day.day >= 1 &&
           date_of(day).ok();
}

void check_new_planting(Checks& checks, const NewPlanting& regime) {
    checks.range("new planting's minutes_per_run", regime.minutes_per_run, kNewPlantingMinutesRange,
                 "min");
    checks.range("new planting's runs_per_day", regime.runs_per_day, kNewPlantingRunsRange);
    if (!is_date(regime.until)) {
        checks.refuse("new planting's until is not a date; give year, month and day");
    } else if (regime.from && !is_date(*regime.from)) {
        checks.refuse("new planting's from is not a date; give year, month and day");
    } else if (regime.from && *regime.from > regime.until) {
        checks.refuse("new planting's from is after its until; correct one of them");
    }
}

void check_application(Checks& checks, const Zone& zone) {
    checks.range("area", zone.area_m2, kAreaM2Range, "m²");
    if (const auto* rate = std::get_if<ApplicationRate>(&zone.application)) {
        checks.range("rate", rate->mm_per_h, kRateMmPerHRange, "mm/h");
    } else if (const auto* flow = std::get_if<ZoneFlow>(&zone.application)) {
        checks.range("flow", flow->l_per_min, kFlowLPerMinRange, "l/min");
    } else if (const auto* drip = std::get_if<Drip>(&zone.application)) {
        checks.range("emitters", drip->emitters, kCountRange);
        checks.range("flow of each emitter", drip->l_per_h_each, kEmitterLPerHRange, "l/h");
        checks.range("wetted area", drip->wetted_m2, kAreaM2Range, "m²");
        if (drip->wetted_m2 && zone.area_m2 && *drip->wetted_m2 > *zone.area_m2 * (1.0 + 1e-9)) {
            checks.refuse("the wetted area is larger than the planted area",
                          "give wetted_ft2 or wetted_m2 as part of the area");
        }
        if (drip->plants) checks.range("plants", *drip->plants, kCountRange);
        if (drip->wetted_m2) return;
    }
    if (!zone.area_m2) checks.refuse("the area is missing; give area_ft2 or area_m2");
}

void check_uniformity(Checks& checks, const Uniformity& uniformity) {
    if (const auto* du = std::get_if<DistributionUniformity>(&uniformity)) {
        checks.range("distribution_uniformity", du->lowest_quarter, kUniformityRange);
    } else if (const auto* efficiency = std::get_if<ApplicationEfficiency>(&uniformity)) {
        checks.range("efficiency", efficiency->share, kUniformityRange);
    }
}

void check_ground(Checks& checks, const Zone& zone) {
    checks.range("available_water", zone.soil.available_water_mm_per_m, kAvailableWaterMmPerMRange,
                 "mm/m");
    checks.range("intake", zone.soil.intake_mm_per_h, kIntakeMmPerHRange, "mm/h");
    checks.range("surface_storage", zone.soil.surface_storage_mm, kSurfaceStorageMmRange, "mm");
    checks.range("root_depth", zone.root_depth_mm, kRootDepthMmRange, "mm");
    checks.range("allowed_depletion", zone.allowed_depletion, kAllowedDepletionRange);
    checks.range("slope_percent", zone.slope_percent, kSlopePercentRange, "%");
}

void check_salinity(Checks& checks, const Zone& zone) {
    const Salinity& salinity = *zone.salinity;
    checks.range("ECw of the water", salinity.water_ec_ds_per_m, kWaterEcDsPerMRange, "dS/m");
    checks.range("ECe that the plants tolerate", salinity.tolerated_ec_ds_per_m,
                 kToleratedEcDsPerMRange, "dS/m");
    if (!salinity.tolerated_ec_ds_per_m && !std::holds_alternative<Turf>(zone.planting)) {
        checks.refuse(
            "the water's salinity is given, but not what the plants tolerate; give their ECe "
            "in dS/m");
    }
}

Result<void> check_zone(const Zone& zone) {
    Checks checks("zone \"" + zone.name + '"');
    check_planting(checks, zone);
    if (zone.new_planting) check_new_planting(checks, *zone.new_planting);
    check_application(checks, zone);
    if (zone.uniformity) check_uniformity(checks, *zone.uniformity);
    check_ground(checks, zone);
    if (zone.salinity) check_salinity(checks, zone);
    if (zone.rain_credit && zone.rain_credit->rule == RainRule::share)
        checks.range("rain_credit", zone.rain_credit->share, kRainShareRange);
    return checks.result();
}

}  // namespace

Result<void> check_climate(const SiteClimate& climate) {
    if (climate.reference != ReferenceCrop::short_grass) {
        return fail(ErrorCode::bad_input,
                    "the file's reference ET is of the tall reference, but plant factors and turf "
                    "coefficients belong to the short one; use a file of the short reference");
    }
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthClimate& month = climate.months[m];
        Checks checks("the climate of " + std::string(kMonthNames[m]));
        checks.range("reference ET", month.eto_mm, {0.0, 1000.0}, "mm");
        checks.range("reference ET", month.eto_mm_per_day, {0.0, 35.0}, "mm a day");
        checks.range("standard error of reference ET", month.eto_se_mm, {0.0, 1000.0}, "mm");
        checks.range("rain", month.rain_mm, {0.0, 10000.0}, "mm");
        checks.range("standard error of rain", month.rain_se_mm, {0.0, 10000.0}, "mm");
        checks.range("rain days", month.rain_days, {0.0, 31.0});
        checks.range("mean temperature", month.tmean_c, {-90.0, 60.0}, "°C");
        TRY(checks.result());
    }
    return {};
}

Result<void> check_zones(const std::vector<Zone>& zones) {
    if (zones.empty()) {
        return fail(ErrorCode::bad_input, "there is no zone to plan for; describe at least one");
    }
    for (std::size_t i = 0; i < zones.size(); ++i) {
        if (zones[i].name.empty()) {
            return fail(ErrorCode::bad_input,
                        "zone " + std::to_string(i + 1) + " has no name; give it one");
        }
        const auto has_its_name = [&](const Zone& other) { return other.name == zones[i].name; };
        if (std::any_of(zones.begin(), zones.begin() + static_cast<std::ptrdiff_t>(i),
                        has_its_name)) {
            return fail(ErrorCode::bad_input, "two zones are called \"" + zones[i].name +
                                                  "\"; give each a name of its own");
        }
        TRY(check_zone(zones[i]));
    }
    return {};
}

namespace {

void check_days(Checks& checks, const AllowedDays& days) {
    if (days.rule != DayRule::weekdays || days.weekdays != Weekdays{}) return;
    checks.refuse("allowed_days names no day; name at least one, or \"any\"");
}

void check_hours(Checks& checks, const std::vector<BarredSpan>& barred) {
    for (const BarredSpan& span : barred) {
        if (span.from_minutes < 0 || span.to_minutes > kClockMinutes ||
            span.from_minutes >= span.to_minutes || span.weekdays == Weekdays{}) {
            checks.refuse("barred_hours must be hours of a day, such as 10:00-18:00");
        }
    }
}

/// Checks that apply to the rules of the whole year and to those of a restriction.
template <class Rules>
void check_caps(Checks& checks, const Rules& rules) {
    const auto whole = [&](std::string_view field, const std::optional<int>& value,
                           const ValueRange& range) {
        if (value) checks.range(field, *value, range);
    };
    checks.range("weekly_depth_cap", rules.weekly_depth_cap_mm, kWeeklyDepthMmRange, "mm");
    checks.range("minutes_per_day_cap", rules.minutes_per_day_cap, kMinutesPerDayRange, "min");
    whole("cycles_per_day_cap", rules.cycles_per_day_cap, kCyclesPerDayRange);
    whole("days_per_week_cap", rules.days_per_week_cap, kDaysPerWeekRange);
    whole("runs_per_week_cap", rules.runs_per_week_cap, kRunsPerWeekRange);
}

bool is_day_of_year(const YearDay& day) {
    return date_of(CalendarDay{2028, day.month, day.day}).ok();
}

}  // namespace

Result<void> check_local_rules(const LocalRules& rules) {
    Checks checks("local rules");
    check_days(checks, rules.allowed_days);
    checks.range("window_hours", rules.window_hours, kWindowHoursRange, "h");
    check_hours(checks, rules.barred_hours);
    checks.range("flow", rules.flow_l_per_min, kFlowLPerMinRange, "l/min");
    checks.range("yearly_allowance", rules.yearly_allowance_l, kAllowanceLRange, "l");
    checks.range("monthly_allowance", rules.monthly_allowance_l, kAllowanceLRange, "l");
    check_caps(checks, rules);
    for (const Restriction& restriction : rules.restrictions) {
        if (!is_day_of_year(restriction.dates.first) || !is_day_of_year(restriction.dates.last))
            checks.refuse("a restriction's dates are not days of the year, such as 05-01");
        if (restriction.allowed_days) check_days(checks, *restriction.allowed_days);
        if (restriction.barred_hours) check_hours(checks, *restriction.barred_hours);
        check_caps(checks, restriction);
    }
    TRY(checks.result());
    const Monthly<LocalRules> by_month = TRY(rules_by_month(rules));
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (window_minutes(by_month[m]) > 0.0) continue;
        checks.refuse("no hour of a watering day is left in " + std::string(kMonthNames[m]),
                      "check window_hours, window_start and barred_hours");
    }
    return checks.result();
}

}  // namespace thirstline
