#include "builder/build/point_assembly.hpp"

#include <cmath>

#include "builder/reference_et/air.hpp"

namespace thirstline {

namespace {

constexpr double kWidestDailyRangeC = 40.0;
// Grids round, and sources differ a little in how they reckon day length and the solar constant.
constexpr double kSlackMjM2Day = 0.5;
constexpr double kSlackHours = 0.3;
constexpr double kSlackKpa = 0.01;

std::size_t index(Variable variable) { return static_cast<std::size_t>(variable); }

/// The value at the place's elevation, from that of its cells.
double carried(Variable variable, double value, double rise_m, const LapseRates& rates,
               std::size_t month) {
    if (!std::isfinite(rise_m)) return value;
    const double tmax_lapse = rates.tmax_c_per_km[month];
    const double tmin_lapse = rates.tmin_c_per_km[month];
    const double vapour_lapse = rates.vapour_pressure_per_km[month];
    switch (variable) {
        case Variable::tmax: return temperature_carried_c(value, rise_m, tmax_lapse);
        case Variable::tmin: return temperature_carried_c(value, rise_m, tmin_lapse);
        case Variable::tmean:
            return temperature_carried_c(value, rise_m, (tmax_lapse + tmin_lapse) / 2.0);
        case Variable::vapour_pressure:
            return vapour_pressure_carried_kpa(value, rise_m, vapour_lapse);
        case Variable::dew_point:
            return dew_point_c(vapour_pressure_carried_kpa(
                saturation_vapour_pressure_kpa(value), rise_m, vapour_lapse));
        default: return value;
    }
}

/// Every variable's best value, by month, at the place's elevation.
using Values = std::array<Monthly<double>, kVariables>;

Values chosen_values(AssembledPoint& point, std::span<const GridAtPlace> grids,
                     const LapseRates& rates) {
    Values values;
    values.fill(kUnknownYear);
    for (auto& months : point.grid_of) months.fill(kNoGrid);
    for (std::size_t g = 0; g < grids.size(); ++g) {
        const GridAtPlace& grid = grids[g];
        const double rise_m = point.climate.elevation_m - grid.cell_elevation_m;
        for (std::size_t month = 0; month < kMonths; ++month) {
            double& value = values[index(grid.variable)][month];
            const auto found = static_cast<double>(grid.sample.values[month]);
            if (!std::isnan(value) || std::isnan(found)) continue;
            value = carried(grid.variable, found, rise_m, rates, month);
            point.grid_of[index(grid.variable)][month] = static_cast<std::int8_t>(g);
        }
    }
    return values;
}

class CombinationCheck {
  public:
    CombinationCheck(AssembledPoint& point, Values& values) : point_(point), values_(values) {}

    void reject_if(bool broken, CombinedRule rule, Variable variable, std::size_t month) {
        double& value = values_[index(variable)][month];
        if (!broken || std::isnan(value)) return;
        std::int8_t& grid = point_.grid_of[index(variable)][month];
        // A temperature that was derived from the mean is nobody's own value.
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
        const double saturation_kpa = saturation_vapour_pressure_kpa(of(tmax, month));
        reject_if(of(vapour_pressure, month) > saturation_kpa + kSlackKpa, over_saturation, vapour_pressure, month);
        reject_if(of(dew_point, month) > of(tmax, month), over_saturation, dew_point, month);
        reject_if(of(radiation, month) > sun.ra_mj_m2_day[month] + kSlackMjM2Day,
                  over_extraterrestrial, radiation, month);
        reject_if(of(sunshine_hours, month) > sun.daylight_hours[month] + kSlackHours, over_daylight,
                  sunshine_hours, month);
    }

  private:
    [[nodiscard]] double of(Variable variable, std::size_t month) const {
        return values_[index(variable)][month];
    }

    AssembledPoint& point_;
    Values& values_;
};

/// Where one of Tmax and Tmin is unknown, the mean tells it: Tmean = (Tmax + Tmin) / 2.
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
        case CombinedRule::range_too_wide: return "daily temperature range over 40 degC";
        case CombinedRule::over_saturation:
            return "humidity over saturation at the maximum temperature";
        case CombinedRule::over_extraterrestrial: return "radiation over extraterrestrial radiation";
        case CombinedRule::over_daylight: return "sunshine longer than the day";
    }
    return "";
}

bool is_carried(Variable variable) {
    return variable == Variable::tmax || variable == Variable::tmin || variable == Variable::tmean ||
           variable == Variable::vapour_pressure || variable == Variable::dew_point;
}

AssembledPoint assembled_point(LatLon position, double elevation_m, bool inland,
                               std::span<const GridAtPlace> grids, const LapseRates& lapse_rates,
                               const MonthlySun& sun) {
    AssembledPoint point;
    PointClimate& climate = point.climate;
    climate.position = position;
    climate.elevation_m = elevation_m;
    climate.coastal = !inland;
    Values values = chosen_values(point, grids, lapse_rates);
    complete_temperatures(point, values);
    CombinationCheck check(point, values);
    for (std::size_t month = 0; month < kMonths; ++month) check.check(month, sun);

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
