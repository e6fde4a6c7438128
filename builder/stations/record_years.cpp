#include "builder/stations/record_years.hpp"

#include <algorithm>
#include <cmath>

#include "builder/records/calendar_days.hpp"
#include "builder/records/normals_of_years.hpp"
#include "builder/reference_et/solar_geometry.hpp"
#include "builder/reference_et/temperature_extremes.hpp"

namespace thirstline {

namespace {

bool is_temperature_of(Variable variable) {
    using enum Variable;
    return variable == tmax || variable == tmin || variable == tmean ||
           variable == temperature_range;
}

const MonthsOfVariable* find(const std::vector<MonthsOfVariable>& months, Variable variable) {
    const auto found = std::ranges::find(months, variable, &MonthsOfVariable::variable);
    return found == months.end() || found->values.empty() ? nullptr : &*found;
}

/// mm/day, of all years.
std::vector<double> eto_of_months(const std::vector<MonthsOfVariable>& months,
                                  const Station& station, const RecordRecipe& record) {
    const auto count = static_cast<std::size_t>(record.last_year - record.first_year + 1);
    CompletenessRules any;
    any.min_years = 1;
    std::array<Monthly<double>, kVariables> normals;
    for (const MonthsOfVariable& of : months)
        normals[static_cast<std::size_t>(of.variable)] = normals_of_years(of.values, any).values;
    const MonthlySun sun = monthly_sun(station.position.lat_deg);
    // Elevation changes reference ET through the pressure of the air, in all years alike: slopes,
    // which are shares, hardly depend on it.
    const double elevation_m = std::isnan(station.elevation_m) ? 0.0 : station.elevation_m;
    EtOptions options;
    options.reference = record.reference;
    options.site_correction = false;
    std::vector<double> eto;
    for (std::size_t year = 0; year < count; ++year) {
        const PointClimate climate =
            climate_of_variables(station.position, elevation_m, [&](Variable variable) {
                const MonthsOfVariable* of = find(months, variable);
                if (of == nullptr) return kUnknownYear;
                Monthly<double> values{};
                for (std::size_t month = 0; month < kMonths; ++month) {
                    values[month] = of->values[year * kMonths + month];
                    if (std::isnan(values[month]) && !is_temperature_of(variable))
                        values[month] = normals[static_cast<std::size_t>(variable)][month];
                }
                return values;
            });
        const ReferenceEtProfile profile = reference_et_profile(climate, sun, {}, options);
        eto.insert(eto.end(), profile.eto_mm_per_day.begin(), profile.eto_mm_per_day.end());
    }
    return eto;
}

}  // namespace

std::vector<double> month_totals(std::vector<double> mm_per_day, int first_year) {
    for (std::size_t i = 0; i < mm_per_day.size(); ++i)
        mm_per_day[i] *= days_in_month(first_year + static_cast<int>(i / kMonths),
                                       static_cast<int>(i % kMonths));
    return mm_per_day;
}

PointClimate climate_of_variables(LatLon position, double elevation_m, const VariableYear& values) {
    using enum Variable;
    PointClimate climate;
    climate.position = position;
    climate.elevation_m = elevation_m;
    const Monthly<double> highest = values(tmax);
    const Monthly<double> lowest = values(tmin);
    const Monthly<double> mean = values(tmean);
    const Monthly<double> range = values(temperature_range);
    for (std::size_t month = 0; month < kMonths; ++month) {
        const TemperatureExtremes extremes =
            completed_extremes(highest[month], lowest[month], mean[month], range[month]);
        climate.tmax_c[month] = extremes.tmax_c;
        climate.tmin_c[month] = extremes.tmin_c;
    }
    climate.vapour_pressure_kpa = values(vapour_pressure);
    climate.u2_m_per_s = values(wind);
    climate.rs_mj_m2_day = values(radiation);
    climate.sunshine_hours_per_day = values(sunshine_hours);
    climate.sunshine_fraction = values(sunshine_fraction);
    climate.rain_mm = values(rain);
    return climate;
}

std::optional<YearsOfNeed> years_of_record(const std::vector<MonthsOfVariable>& months,
                                           const Station& station, const RecordRecipe& record) {
    const MonthsOfVariable* rain = find(months, Variable::rain);
    if (rain == nullptr) return std::nullopt;
    const int min_years = std::max(record.completeness.min_years, kMinYearsOfNeed);
    const auto with_eto = [&](const std::vector<double>& eto_mm_per_day) {
        return years_of_need(month_totals(eto_mm_per_day, record.first_year), rain->values,
                             station.position.lat_deg < 0.0, min_years);
    };
    for (const MonthsOfVariable& of : months) {
        if (of.variable != Variable::eto || of.values.empty()) continue;
        if (const auto found = with_eto(of.values)) return found;
    }
    return with_eto(eto_of_months(months, station, record));
}

}  // namespace thirstline
