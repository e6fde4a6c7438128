#include "builder/records/day_weather.hpp"

#include <algorithm>
#include <cmath>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/daily_reference_et.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"
#include "builder/reference_et/radiation.hpp"
#include "builder/reference_et/solar_geometry.hpp"
#include "builder/reference_et/temperature_extremes.hpp"

namespace thirstline {

namespace {

std::size_t place_of(Variable variable) {
    return static_cast<std::size_t>(variable);
}

}  // namespace

DayWeatherColumns::DayWeatherColumns(const std::vector<Variable>& measured,
                                     ReferenceSurface surface, EtoOf eto_of)
    : surface_(surface), eto_of_(eto_of), measured_(measured.size()), variables_(measured) {
    using enum Variable;
    column_of_.fill(-1);
    for (std::size_t v = 0; v < measured.size(); ++v)
        column_of_[place_of(measured[v])] = static_cast<int>(v);
    const auto has = [this](Variable variable) { return column_of_[place_of(variable)] >= 0; };
    const auto has_any = [&has](std::initializer_list<Variable> all) {
        return std::any_of(all.begin(), all.end(), has);
    };
    const bool has_humidity =
        has_any({specific_humidity, dew_point, relative_humidity, relative_humidity_max,
                 vapour_pressure_deficit, vapour_pressure_deficit_max});
    if (has_humidity && !has(vapour_pressure)) {
        vapour_pressure_ = static_cast<int>(variables_.size());
        variables_.push_back(vapour_pressure);
    }
    const int temperatures = static_cast<int>(has(tmax)) + static_cast<int>(has(tmin)) +
                             static_cast<int>(has(tmean)) +
                             static_cast<int>(has(temperature_range));
    if (temperatures >= 2 && (has_humidity || has(vapour_pressure)) && has(wind) &&
        has_any({radiation, sunshine_hours, sunshine_fraction})) {
        computed_eto_ = static_cast<int>(variables_.size());
        variables_.push_back(eto);
    }
}

double DayWeatherColumns::value(const DaysOfMonth& days, Variable variable, std::size_t day) const {
    const int column = column_of_[place_of(variable)];
    return column < 0 ? kUnknown : days.values[static_cast<std::size_t>(column)][day];
}

int DayWeatherColumns::calculate(DaysOfMonth& days, const Place& place,
                                 EtoComparison& comparison) const {
    using enum Variable;
    int reversed = 0;
    const double pressure = pressure_kpa(place.elevation_m);
    const int count = days_in_month(days.year, days.month);
    for (std::size_t day = 0; day < static_cast<std::size_t>(count); ++day) {
        const auto of = [&](Variable variable) { return value(days, variable, day); };
        if (of(tmin) > of(tmax)) {
            ++reversed;
            for (const Variable variable : {tmax, tmin})
                days.values[static_cast<std::size_t>(column_of_[place_of(variable)])][day] =
                    kUnknown;
        }
        if (vapour_pressure_ < 0 && computed_eto_ < 0) continue;
        const TemperatureExtremes extremes =
            completed_extremes(of(tmax), of(tmin), of(tmean), of(temperature_range));
        DayHumidity humidity;
        humidity.vapour_pressure_kpa = of(vapour_pressure);
        humidity.specific_humidity = of(specific_humidity);
        humidity.dew_point_c = of(dew_point);
        humidity.relative = {of(relative_humidity),           of(relative_humidity_max),
                             of(relative_humidity_min),       of(vapour_pressure_deficit),
                             of(vapour_pressure_deficit_max), of(vapour_pressure_deficit_min)};
        const double ea =
            day_vapour_pressure_kpa(humidity, extremes.tmax_c, extremes.tmin_c, pressure);
        if (vapour_pressure_ >= 0)
            days.values[static_cast<std::size_t>(vapour_pressure_)][day] = ea;
        if (computed_eto_ < 0) continue;
        const int number = number_in_year({days.year, days.month, static_cast<int>(day) + 1});
        const double lat = place.position.lat_deg;
        const double ra = extraterrestrial_radiation_mj_m2_day(lat, number);
        double rs = of(radiation);
        if (std::isnan(rs))
            rs = rs_from_sunshine_fraction(
                sunshine_fraction_of(of(sunshine_hours), daylight_hours(lat, number)), ra);
        if (std::isnan(rs)) rs = rs_from_sunshine_fraction(of(sunshine_fraction), ra);
        double& computed = days.values[static_cast<std::size_t>(computed_eto_)][day];
        if (eto_of_ == EtoOf::day)
            computed =
                daily_reference_et_mm_per_day({extremes.tmax_c, extremes.tmin_c, ea, of(wind), rs},
                                              place.elevation_m, ra, surface_);
        const double reported = of(eto);
        if (!std::isnan(reported) && !std::isnan(computed)) comparison.add(reported, computed);
    }
    return reversed;
}

}  // namespace thirstline
