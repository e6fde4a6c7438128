#include "builder/background/point_assembly.hpp"

#include <cmath>

#include "builder/reference_et/air.hpp"

namespace thirstline {

namespace {

constexpr double kWidestDailyRangeC = 40.0;
// Grids are rounded, and sources differ slightly in their computation of day length and the solar
// constant.
constexpr double kSlackMjM2Day = 0.5;
constexpr double kSlackHours = 0.3;
constexpr double kSlackKpa = 0.01;

std::size_t index(Variable variable) {
    return static_cast<std::size_t>(variable);
}

/// The value at the place's elevation, from that of its cells.
double carried(Variable variable, double value, double rise_m, const LapseRates& rates,
               std::size_t month) {
    if (!std::isfinite(rise_m)) return value;
    const double tmax_lapse = rates.tmax_c_per_km[month];
    const double tmin_lapse = rates.tmin_c_per_km[month];
    const double vapour_lapse = rates.vapour_pressure_per_km[month];
    switch (variable) {
        case Variable::tmax:
            return temperature_carried_c(value, rise_m, tmax_lapse);
        case Variable::tmin:
            return temperature_carried_c(value, rise_m, tmin_lapse);
        case Variable::tmean:
            return temperature_carried_c(value, rise_m, (tmax_lapse + tmin_lapse) / 2.0);
        case Variable::vapour_pressure:
            return vapour_pressure_carried_kpa(value, rise_m, vapour_lapse);
        case Variable::dew_point:
            return dew_point_c(vapour_pressure_carried_kpa(saturation_vapour_pressure_kpa(value),
                                                           rise_m, vapour_lapse));
        default:
            return value;
    }
}

/// Every variable's best value, by month, at its cells' own elevation.
using Values = std::array<Monthly<double>, kVariables>;

Values chosen_values(AssembledPoint& point, std::span<const GridAtPlace> grids) {
    Values values;
    values.fill(kUnknownYear);
    for (auto& months : point.grid_of) months.fill(kNoGrid);
    for (std::size_t g = 0; g < grids.size(); ++g) {
        for (std::size_t month = 0; month < kMonths; ++month) {
            double& value = values[index(grids[g].variable)][month];
            const auto found = static_cast<double>(grids[g].sample.values[month]);
            if (!std::isnan(value) || std::isnan(found)) continue;
            value = found;
            point.grid_of[index(grids[g].variable)][month] = static_cast<std::int8_t>(g);
        }
    }
    return values;
}

/// Adjusts all variables that depend on elevation from the cells' to the place's; a temperature
/// that was computed from the mean, from the mean's cells. If the different lapse rates would close
/// the daily range, half of it remains, around the adjusted mean.
void carry(AssembledPoint& point, Values& values, std::span<const GridAtPlace> grids,
           const LapseRates& rates) {
    const Monthly<double> tmax_at_cells = values[index(Variable::tmax)];
    const Monthly<double> tmin_at_cells = values[index(Variable::tmin)];
    for (const Variable variable : {Variable::tmax, Variable::tmin, Variable::tmean,
                                    Variable::vapour_pressure, Variable::dew_point}) {
        for (std::size_t month = 0; month < kMonths; ++month) {
            const bool is_extreme = variable == Variable::tmax || variable == Variable::tmin;
            std::int8_t grid = point.grid_of[index(variable)][month];
            if (grid == kNoGrid && is_extreme) grid = point.grid_of[index(Variable::tmean)][month];
            if (grid == kNoGrid) continue;
            const double rise_m = point.climate.elevation_m -
                                  grids[static_cast<std::size_t>(grid)].ground.elevation_m;
            double& value = values[index(variable)][month];
            value = carried(variable, value, rise_m, rates, month);
        }
    }
    for (std::size_t month = 0; month < kMonths; ++month) {
        double& tmax = values[index(Variable::tmax)][month];
        double& tmin = values[index(Variable::tmin)][month];
        const double least_range = (tmax_at_cells[month] - tmin_at_cells[month]) / 2.0;
        if (!(tmax - tmin < least_range)) continue;
        const double mean = (tmax + tmin) / 2.0;
        tmax = mean + least_range / 2.0;
        tmin = mean - least_range / 2.0;
    }
}

class CombinationCheck {
  public:
    CombinationCheck(AssembledPoint& point, Values& values) : point_(point), values_(values) {}

    void reject_if(bool broken, CombinedRule rule, Variable variable, std::size_t month) {
        double& value = values_[index(variable)][month];
        if (!broken || std::isnan(value)) return;
        std::int8_t& grid = point_.grid_of[index(variable)][month];
        // A temperature derived from the mean is not a value of any source.
        if (grid != kNoGrid)
            point_.rejections.push_back({grid, static_cast<int>(month), value, rule});
        value = kUnknown;
        grid = kNoGrid;
    }

    void check(std::size_t month, const MonthlySun& sun) {
        using enum CombinedRule;
        using enum Variable;
        const double range = of(tmax, month) - of(tmin, month);
        for (const Variable temperature : {tmax, tmin}) {
            reject_if(range <= 0.0, minimum_not_below_maximum, temperature, month);
            reject_if(range > kWidestDailyRangeC, range_too_wide, temperature, month);
        }
        if (std::isnan(of(tmax, month))) point_.grid_of[index(tmean)][month] = kNoGrid;
        const double saturation_kpa = saturation_vapour_pressure_kpa(of(tmax, month));
        reject_if(of(vapour_pressure, month) > saturation_kpa + kSlackKpa, over_saturation,
                  vapour_pressure, month);
        reject_if(of(dew_point, month) > of(tmax, month), over_saturation, dew_point, month);
        reject_if(of(radiation, month) > sun.ra_mj_m2_day[month] + kSlackMjM2Day,
                  over_extraterrestrial, radiation, month);
        reject_if(of(sunshine_hours, month) > sun.daylight_hours[month] + kSlackHours,
                  over_daylight, sunshine_hours, month);
    }

  private:
    [[nodiscard]] double of(Variable variable, std::size_t month) const {
        return values_[index(variable)][month];
    }

    AssembledPoint& point_;
    Values& values_;
};

/// If one of Tmax and Tmin is unknown, it is computed from the mean: Tmean = (Tmax + Tmin) / 2.
void complete_temperatures(AssembledPoint& point, Values& values) {
    for (std::size_t month = 0; month < kMonths; ++month) {
        double& tmax = values[index(Variable::tmax)][month];
        double& tmin = values[index(Variable::tmin)][month];
        const double twice_mean = 2.0 * values[index(Variable::tmean)][month];
        const bool lacks_tmax = std::isnan(tmax);
        if (lacks_tmax == std::isnan(tmin) || std::isnan(twice_mean)) {
            point.grid_of[index(Variable::tmean)][month] = kNoGrid;
            continue;
        }
        (lacks_tmax ? tmax : tmin) = twice_mean - (lacks_tmax ? tmin : tmax);
    }
}

}  // namespace

std::string_view rule_name(CombinedRule rule) {
    switch (rule) {
        case CombinedRule::minimum_not_below_maximum:
            return "minimum temperature not below the maximum";
        case CombinedRule::range_too_wide:
            return "daily temperature range over 40 degC";
        case CombinedRule::over_saturation:
            return "humidity over saturation at the maximum temperature";
        case CombinedRule::over_extraterrestrial:
            return "radiation over extraterrestrial radiation";
        case CombinedRule::over_daylight:
            return "sunshine longer than the day";
    }
    return "";
}

bool is_carried(Variable variable) {
    return variable == Variable::tmax || variable == Variable::tmin ||
           variable == Variable::tmean || variable == Variable::vapour_pressure ||
           variable == Variable::dew_point;
}

AssembledPoint assembled_point(LatLon position, double elevation_m, bool inland,
                               std::span<const GridAtPlace> grids, const LapseRates& lapse_rates,
                               const MonthlySun& sun) {
    AssembledPoint point;
    PointClimate& climate = point.climate;
    climate.position = position;
    climate.elevation_m = elevation_m;
    climate.coastal = !inland;
    Values values = chosen_values(point, grids);
    complete_temperatures(point, values);
    // Before any adjustment: a rejected value is an error of the sources, not of the lapse rates.
    CombinationCheck check(point, values);
    for (std::size_t month = 0; month < kMonths; ++month) check.check(month, sun);
    carry(point, values, grids, lapse_rates);

    const auto of = [&values](Variable variable) { return values[index(variable)]; };
    climate.tmax_c = of(Variable::tmax);
    climate.tmin_c = of(Variable::tmin);
    climate.vapour_pressure_kpa = of(Variable::vapour_pressure);
    climate.dew_point_c = of(Variable::dew_point);
    climate.relative_humidity_percent = of(Variable::relative_humidity);
    climate.u2_m_per_s = of(Variable::wind);
    climate.rs_mj_m2_day = of(Variable::radiation);
    climate.sunshine_hours_per_day = of(Variable::sunshine_hours);
    climate.sunshine_fraction = of(Variable::sunshine_fraction);
    climate.cloud_fraction = of(Variable::cloud);
    climate.rain_mm = of(Variable::rain);
    point.eto_of_grid = of(Variable::eto);
    return point;
}

}  // namespace thirstline
