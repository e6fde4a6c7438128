#include "builder/pipeline/used_values.hpp"

#include "schema/tile/method.hpp"

namespace thirstline {

namespace {

/// Whether the month's values used this variable, given the method of its ETo. Drivers replaced by
/// a better one, or by a grid of ETo, were not used.
bool is_used(Variable variable, const Method& method, bool has_sunshine_hours,
             bool keeps_temperatures) {
    const bool is_driver_used = method.equation == EtoEquation::penman_monteith;
    switch (variable) {
        case Variable::tmax:
        case Variable::tmin:
        case Variable::tmean:
        case Variable::temperature_range:
            return keeps_temperatures || method.equation != EtoEquation::grid_of_eto;
        case Variable::vapour_pressure:
        case Variable::specific_humidity:
            return is_driver_used && method.humidity == HumidityFrom::vapour_pressure;
        case Variable::dew_point:
            return is_driver_used && method.humidity == HumidityFrom::dew_point;
        case Variable::relative_humidity:
        case Variable::relative_humidity_max:
        case Variable::relative_humidity_min:
        case Variable::vapour_pressure_deficit:
        case Variable::vapour_pressure_deficit_max:
        case Variable::vapour_pressure_deficit_min:
            return is_driver_used && method.humidity == HumidityFrom::relative_humidity;
        case Variable::wind:
        case Variable::wind_u:
        case Variable::wind_v:
            return is_driver_used && method.wind == WindFrom::given;
        case Variable::radiation:
            return is_driver_used && method.radiation == RadiationFrom::given;
        case Variable::sunshine_hours:
            return is_driver_used && method.radiation == RadiationFrom::sunshine;
        case Variable::sunshine_fraction:
            return is_driver_used && method.radiation == RadiationFrom::sunshine &&
                   !has_sunshine_hours;
        case Variable::cloud:
            return is_driver_used && method.radiation == RadiationFrom::cloud;
        case Variable::eto:
            return method.equation == EtoEquation::grid_of_eto;
        case Variable::rain:
            return true;
        case Variable::rain_days:
        case Variable::elevation:
            return false;
    }
    return false;
}

}  // namespace

UsedValues used_values(const PointRecord& record, bool keeps_temperatures) {
    UsedValues used{};
    const auto& grid_of = record.assembled.grid_of;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const Method method = method_of_code(record.method_of_grids[month]);
        const bool has_sunshine_hours =
            grid_of[static_cast<std::size_t>(Variable::sunshine_hours)][month] != kNoGrid;
        for (std::size_t v = 0; v < grid_of.size(); ++v) {
            const std::int8_t grid = grid_of[v][month];
            if (grid != kNoGrid &&
                is_used(static_cast<Variable>(v), method, has_sunshine_hours, keeps_temperatures))
                ++used[static_cast<std::size_t>(grid)];
        }
    }
    return used;
}

}  // namespace thirstline
