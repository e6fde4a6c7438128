#include "lookup/demand/demand_checks.hpp"

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>

#include "lookup/demand/calendar_dates.hpp"
#include "lookup/demand/quantity_text.hpp"

namespace thirstline {
namespace {

/// Collects the first error about one thing ("zone "north lawn""), so that checks read as a list.
class Checks {
  public:
    explicit Checks(std::string about) : about_(std::move(about)) {}

    void range(std::string_view field, double value, double least, double greatest,
               std::string_view unit = {}) {
        if (value >= least && value <= greatest) return;  // false for NaN
        const std::string after = unit.empty() ? "" : ' ' + std::string(unit);
        refuse(std::string(field) + " is " + number_text(value) + after +
               ", but must lie between " + number_text(least) + " and " + number_text(greatest) +
               after);
    }
    void range(std::string_view field, const std::optional<double>& value, double least,
               double greatest, std::string_view unit = {}) {
        if (value) range(field, *value, least, greatest, unit);
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

constexpr double kLeastShare = 0.001;  // of factors that must be above 0

void check_planting(Checks& checks, const Zone& zone) {
    if (const auto* factor = std::get_if<PlantFactor>(&zone.planting)) {
        checks.range("plant_factor", factor->value, kLeastShare, 1.5);
    } else if (const auto* landscape = std::get_if<LandscapeCoefficient>(&zone.planting)) {
        checks.range("species", landscape->species, kLeastShare, 1.0);
        checks.range("density", landscape->density, 0.5, 1.3);
        checks.range("microclimate", landscape->microclimate, 0.5, 1.4);
        if (landscape->microclimate && zone.exposure) {
            checks.refuse("microclimate and exposure say the same thing twice; keep one of them");
        }
    } else if (const auto* crop = std::get_if<CropCoefficient>(&zone.planting)) {
        for (const double coefficient : crop->by_month) {
            checks.range("coefficient", coefficient, 0.0, 1.5);
        }
    }
}

bool is_date(const CalendarDay& day) {
    return day.year >= 1900 && day.year <= 2200 && day.month >= 1 && day.day >= 1 &&
           date_of(day).ok();
}

void check_new_planting(Checks& checks, const NewPlanting& regime) {
    checks.range("new planting's minutes_per_run", regime.minutes_per_run, kLeastShare, 1440.0,
                 "min");
    checks.range("new planting's runs_per_day", regime.runs_per_day, 1, 12);
    if (!is_date(regime.until)) {
        checks.refuse("new planting's until is no date; give year, month and day");
    } else if (regime.from && !is_date(*regime.from)) {
        checks.refuse("new planting's from is no date; give year, month and day");
    } else if (regime.from && *regime.from > regime.until) {
        checks.refuse("new planting's from lies after its until; exchange or correct them");
    }
}

void check_application(Checks& checks, const Zone& zone) {
    checks.range("area", zone.area_m2, 0.01, 1e7, "m²");
    if (const auto* rate = std::get_if<ApplicationRate>(&zone.application)) {
        checks.range("rate", rate->mm_per_h, 0.1, 500.0, "mm/h");
    } else if (const auto* flow = std::get_if<ZoneFlow>(&zone.application)) {
        checks.range("flow", flow->l_per_min, 0.001, 1e5, "l/min");
    } else if (const auto* drip = std::get_if<Drip>(&zone.application)) {
        checks.range("emitters", drip->emitters, 1, 1e6);
        checks.range("flow of each emitter", drip->l_per_h_each, 0.01, 1000.0, "l/h");
        checks.range("wetted area", drip->wetted_m2, 0.01, 1e7, "m²");
        if (drip->plants) checks.range("plants", *drip->plants, 1, 1e6);
        if (drip->wetted_m2) return;
    }
    if (!zone.area_m2) checks.refuse("the area is missing; give area_ft2 or area_m2");
}

void check_uniformity(Checks& checks, const Uniformity& uniformity) {
    if (const auto* du = std::get_if<DistributionUniformity>(&uniformity)) {
        checks.range("distribution_uniformity", du->lowest_quarter, 0.2, 1.0);
    } else if (const auto* efficiency = std::get_if<ApplicationEfficiency>(&uniformity)) {
        checks.range("efficiency", efficiency->share, 0.2, 1.0);
    }
}

void check_ground(Checks& checks, const Zone& zone) {
    checks.range("available_water", zone.soil.available_water_mm_per_m, 20.0, 300.0, "mm/m");
    checks.range("intake", zone.soil.intake_mm_per_h, 0.5, 200.0, "mm/h");
    checks.range("surface_storage", zone.soil.surface_storage_mm, 0.5, 30.0, "mm");
    checks.range("root_depth", zone.root_depth_mm, 25.0, 3000.0, "mm");
    checks.range("allowed_depletion", zone.allowed_depletion, 0.05, 0.95);
    checks.range("slope_percent", zone.slope_percent, 0.0, 100.0, "%");
}

void check_salinity(Checks& checks, const Zone& zone) {
    const Salinity& salinity = *zone.salinity;
    checks.range("ECw of the water", salinity.water_ec_ds_per_m, 0.0, 60.0, "dS/m");
    checks.range("ECe that the plants bear", salinity.tolerated_ec_ds_per_m, 0.1, 60.0, "dS/m");
    if (!salinity.tolerated_ec_ds_per_m && !std::holds_alternative<Turf>(zone.planting)) {
        checks.refuse(
            "the water's salinity is given, but not what the plants bear; give their ECe "
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
    if (zone.rain_credit && zone.rain_credit->rule == RainRule::share) {
        checks.range("rain_credit", zone.rain_credit->share, 0.0, 1.0);
    }
    return checks.result();
}

}  // namespace

Result<void> check_climate(const SiteClimate& climate) {
    if (climate.reference != ReferenceSurface::short_grass) {
        return fail(ErrorCode::bad_input,
                    "the file's reference ET is of the tall reference, but plant factors and turf "
                    "coefficients belong to the short one; use a file of the short reference");
    }
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthClimate& month = climate.months[m];
        Checks checks("the climate of " + std::string(kMonthNames[m]));
        checks.range("reference ET", month.eto_mm, 0.0, 1000.0, "mm");
        checks.range("reference ET", month.eto_mm_per_day, 0.0, 35.0, "mm a day");
        checks.range("standard error of reference ET", month.eto_se_mm, 0.0, 1000.0, "mm");
        checks.range("rain", month.rain_mm, 0.0, 10000.0, "mm");
        checks.range("standard error of rain", month.rain_se_mm, 0.0, 10000.0, "mm");
        checks.range("rain days", month.rain_days, 0.0, 31.0);
        checks.range("mean temperature", month.tmean_c, -90.0, 60.0, "°C");
        if (auto result = checks.result(); !result) return result;
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
        if (auto result = check_zone(zones[i]); !result) return result;
    }
    return {};
}

Result<void> check_local_rules(const LocalRules& rules) {
    Checks checks("local rules");
    const auto& weekdays = rules.allowed_days.weekdays;
    if (rules.allowed_days.rule == DayRule::weekdays &&
        std::none_of(weekdays.begin(), weekdays.end(), [](bool allowed) { return allowed; })) {
        checks.refuse("allowed_days names no day; name at least one, or \"any\"");
    }
    checks.range("window_hours", rules.window_hours, kLeastShare, 24.0, "h");
    checks.range("flow", rules.flow_l_per_min, 0.001, 1e6, "l/min");
    checks.range("yearly_allowance", rules.yearly_allowance_l, 0.0, 1e12, "l");
    checks.range("monthly_allowance", rules.monthly_allowance_l, 0.0, 1e12, "l");
    checks.range("weekly_depth_cap", rules.weekly_depth_cap_mm, 0.0, 1000.0, "mm");
    if (rules.days_per_week_cap) {
        checks.range("days_per_week_cap", *rules.days_per_week_cap, 1, kWeekdays);
    }
    if (rules.runs_per_week_cap) {
        checks.range("runs_per_week_cap", *rules.runs_per_week_cap, 1, 1000);
    }
    return checks.result();
}

}  // namespace thirstline
