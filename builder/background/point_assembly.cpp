#include "builder/background/point_assembly.hpp"

#include <cmath>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/humidity_forms.hpp"
#include "builder/reference_et/temperature_extremes.hpp"

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
double adjusted(Variable variable, double value, double rise_m, const LapseRates& rates,
                std::size_t month) {
    if (!std::isfinite(rise_m)) return value;
    const double tmax_lapse = rates.tmax_c_per_km[month];
    const double tmin_lapse = rates.tmin_c_per_km[month];
    const double vapour_lapse = rates.vapour_pressure_per_km[month];
    switch (variable) {
        case Variable::tmax:
            return temperature_adjusted_c(value, rise_m, tmax_lapse);
        case Variable::tmin:
            return temperature_adjusted_c(value, rise_m, tmin_lapse);
        case Variable::tmean:
            return temperature_adjusted_c(value, rise_m, (tmax_lapse + tmin_lapse) / 2.0);
        case Variable::vapour_pressure:
            return vapour_pressure_adjusted_kpa(value, rise_m, vapour_lapse);
        case Variable::dew_point:
            return dew_point_c(vapour_pressure_adjusted_kpa(saturation_vapour_pressure_kpa(value),
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

/// The grid at whose cells the value is: for one that was computed, the grid of what it was
/// computed from.
std::int8_t grid_of_cells(const AssembledPoint& point, Variable variable, std::size_t month) {
    const auto grid = [&](Variable of) { return point.grid_of[index(of)][month]; };
    const auto first_of = [&](std::initializer_list<Variable> variables) {
        for (const Variable each : variables)
            if (grid(each) != kNoGrid) return grid(each);
        return kNoGrid;
    };
    using enum Variable;
    switch (variable) {
        case tmax:
            return first_of({tmax, tmean, tmin});
        case tmin:
            return first_of({tmin, tmean, tmax});
        case vapour_pressure:
            return first_of({vapour_pressure, specific_humidity});
        default:
            return grid(variable);
    }
}

double elevation_of_cells_m(const AssembledPoint& point, std::span<const GridAtPlace> grids,
                            Variable variable, std::size_t month) {
    const std::int8_t grid = grid_of_cells(point, variable, month);
    return grid == kNoGrid ? kUnknown : grids[static_cast<std::size_t>(grid)].ground.elevation_m;
}

/// Adjusts all variables that depend on elevation from the cells' to the place's. If the different
/// lapse rates would close the daily range, half of it remains, around the adjusted mean.
void adjust_values(AssembledPoint& point, Values& values, std::span<const GridAtPlace> grids,
                   const LapseRates& rates) {
    const Monthly<double> tmax_at_cells = values[index(Variable::tmax)];
    const Monthly<double> tmin_at_cells = values[index(Variable::tmin)];
    for (const Variable variable : {Variable::tmax, Variable::tmin, Variable::tmean,
                                    Variable::vapour_pressure, Variable::dew_point}) {
        for (std::size_t month = 0; month < kMonths; ++month) {
            const double rise_m =
                point.climate.elevation_m - elevation_of_cells_m(point, grids, variable, month);
            double& value = values[index(variable)][month];
            value = adjusted(variable, value, rise_m, rates, month);
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

/// One month's variables together: computes those that are stated in another form, and rejects
/// impossible combinations. Everything at the cells' own elevation, because a rejected value is an
/// error of the sources, not of the lapse rates.
class MonthOfGrids {
  public:
    MonthOfGrids(AssembledPoint& point, Values& values, std::span<const GridAtPlace> grids,
                 const LapseRates& rates, std::size_t month)
        : point_(point), values_(values), grids_(grids), rates_(rates), month_(month) {}

    void complete_and_check(const MonthlySun& sun) {
        using enum CombinedRule;
        using enum Variable;
        complete_temperatures();
        const double range = of(tmax) - of(tmin);
        for (const Variable temperature : {tmax, tmin}) {
            reject_if(range <= 0.0, minimum_not_below_maximum, temperature);
            reject_if(range > kWidestDailyRangeC, range_too_wide, temperature);
        }
        if (std::isnan(of(tmax))) leave_out({tmean, temperature_range});
        complete_vapour_pressure();
        reject_if(is_over_saturation(of(vapour_pressure)), over_saturation, vapour_pressure);
        reject_if(of(dew_point) > of(tmax), over_saturation, dew_point);
        complete_relative_humidity();
        complete_wind();
        reject_if(of(radiation) > sun.ra_mj_m2_day[month_] + kSlackMjM2Day, over_extraterrestrial,
                  radiation);
        reject_if(of(sunshine_hours) > sun.daylight_hours[month_] + kSlackHours, over_daylight,
                  sunshine_hours);
    }

  private:
    [[nodiscard]] double& of(Variable variable) { return values_[index(variable)][month_]; }
    [[nodiscard]] std::int8_t& grid_of(Variable variable) {
        return point_.grid_of[index(variable)][month_];
    }
    void leave_out(std::initializer_list<Variable> variables) {
        for (const Variable variable : variables) grid_of(variable) = kNoGrid;
    }

    void reject_if(bool broken, CombinedRule rule, Variable variable) {
        double& value = of(variable);
        if (!broken || std::isnan(value)) return;
        // A computed temperature is not a value of any source.
        if (grid_of(variable) != kNoGrid)
            point_.rejections.push_back({grid_of(variable), static_cast<int>(month_), value, rule});
        value = kUnknown;
        leave_out({variable});
    }

    [[nodiscard]] bool is_over_saturation(double vapour_pressure_kpa) {
        return vapour_pressure_kpa > saturation_vapour_pressure_kpa(of(Variable::tmax)) + kSlackKpa;
    }

    void complete_temperatures() {
        using enum Variable;
        const TemperatureExtremes extremes =
            completed_extremes(of(tmax), of(tmin), of(tmean), of(temperature_range));
        of(tmax) = extremes.tmax_c;
        of(tmin) = extremes.tmin_c;
        if (!extremes.is_mean_used) leave_out({tmean});
        if (!extremes.is_range_used) leave_out({temperature_range});
    }

    void complete_vapour_pressure() {
        using enum Variable;
        if (std::isnan(of(vapour_pressure))) {
            const double pressure =
                pressure_kpa(elevation_of_cells_m(point_, grids_, specific_humidity, month_));
            const double found =
                vapour_pressure_from_specific_humidity_kpa(of(specific_humidity), pressure);
            reject_if(is_over_saturation(found), CombinedRule::over_saturation, specific_humidity);
            if (grid_of(specific_humidity) != kNoGrid) of(vapour_pressure) = found;
        }
        if (grid_of(vapour_pressure) != kNoGrid || std::isnan(of(vapour_pressure)))
            leave_out({specific_humidity});
    }

    void reject_reversed(Variable maximum, Variable minimum) {
        const bool is_reversed = of(minimum) > of(maximum);
        reject_if(is_reversed, CombinedRule::reversed_humidity, maximum);
        reject_if(is_reversed, CombinedRule::reversed_humidity, minimum);
    }

    void complete_relative_humidity() {
        using enum Variable;
        reject_reversed(relative_humidity_max, relative_humidity_min);
        reject_reversed(vapour_pressure_deficit_max, vapour_pressure_deficit_min);
        RelativeHumidity found =
            relative_humidity_of({of(relative_humidity), of(relative_humidity_max),
                                  of(relative_humidity_min), kUnknown, kUnknown, kUnknown},
                                 of(tmax), of(tmin));
        if (found.form == RelativeForm::none) found = relative_humidity_of_deficit();
        of(relative_humidity) = found.percent;
        if (found.form != RelativeForm::mean) leave_out({relative_humidity});
        if (found.form != RelativeForm::extremes)
            leave_out({relative_humidity_max, relative_humidity_min});
        if (found.form != RelativeForm::deficit) leave_out({vapour_pressure_deficit});
        if (found.form != RelativeForm::deficit_extremes)
            leave_out({vapour_pressure_deficit_max, vapour_pressure_deficit_min});
    }

    /// From the temperatures at the deficit's own cells.
    [[nodiscard]] RelativeHumidity relative_humidity_of_deficit() {
        using enum Variable;
        const Variable deficit = grid_of(vapour_pressure_deficit) != kNoGrid
                                     ? vapour_pressure_deficit
                                     : vapour_pressure_deficit_max;
        const double cells_m = elevation_of_cells_m(point_, grids_, deficit, month_);
        const auto at_cells = [&](Variable temperature) {
            const double rise_m =
                cells_m - elevation_of_cells_m(point_, grids_, temperature, month_);
            return adjusted(temperature, of(temperature), rise_m, rates_, month_);
        };
        const RelativeHumidity found =
            relative_humidity_of({kUnknown, kUnknown, kUnknown, of(vapour_pressure_deficit),
                                  of(vapour_pressure_deficit_max), of(vapour_pressure_deficit_min)},
                                 at_cells(tmax), at_cells(tmin));
        if (!(found.percent <= 0.0)) return found;
        for (const Variable each :
             {vapour_pressure_deficit, vapour_pressure_deficit_max, vapour_pressure_deficit_min})
            reject_if(true, CombinedRule::deficit_over_saturation, each);
        return {kUnknown, RelativeForm::none};
    }

    void complete_wind() {
        using enum Variable;
        const double of_components = std::hypot(of(wind_u), of(wind_v));
        if (std::isnan(of(wind)) && !std::isnan(of_components)) {
            of(wind) = of_components;
        } else {
            leave_out({wind_u, wind_v});
        }
    }

    AssembledPoint& point_;
    Values& values_;
    std::span<const GridAtPlace> grids_;
    const LapseRates& rates_;
    std::size_t month_;
};

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
        case CombinedRule::deficit_over_saturation:
            return "vapor-pressure deficit over saturation";
        case CombinedRule::reversed_humidity:
            return "minimum of humidity or its deficit over the maximum";
    }
    return "";
}

bool is_adjusted(Variable variable) {
    using enum Variable;
    switch (variable) {
        case tmax:
        case tmin:
        case tmean:
        case vapour_pressure:
        case specific_humidity:
        case dew_point:
        case vapour_pressure_deficit:
        case vapour_pressure_deficit_max:
        case vapour_pressure_deficit_min:
            return true;
        default:
            return false;
    }
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
    for (std::size_t month = 0; month < kMonths; ++month)
        MonthOfGrids(point, values, grids, lapse_rates, month).complete_and_check(sun);
    adjust_values(point, values, grids, lapse_rates);

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
