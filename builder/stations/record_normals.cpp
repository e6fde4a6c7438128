#include "builder/stations/record_normals.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "builder/records/normals_of_years.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"
#include "builder/reference_et/solar_geometry.hpp"
#include "builder/stations/record_length.hpp"
#include "builder/stations/record_years.hpp"

namespace thirstline {

namespace {

double mean_over_year(const Monthly<double>& values) {
    double sum = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month)
        sum += values[month] * kDaysInMonth[month];
    return sum / std::accumulate(kDaysInMonth.begin(), kDaysInMonth.end(), 0.0);
}

std::vector<VoidMonths> void_months(const std::vector<VoidReason>& reasons, int first_year) {
    std::vector<VoidMonths> found;
    for (int reason = 1; reason < kVoidReasons; ++reason) {
        VoidMonths of{static_cast<VoidReason>(reason), {}};
        for (std::size_t i = 0; i < reasons.size(); ++i) {
            if (reasons[i] != of.reason) continue;
            of.months.push_back(
                {static_cast<std::int16_t>(first_year + static_cast<int>(i / kMonths)),
                 static_cast<std::int8_t>(i % kMonths)});
        }
        if (!of.months.empty()) found.push_back(std::move(of));
    }
    return found;
}

StationNormals station_normals(const FinishedRecord& finished, Variable variable,
                               const NormalsOfYears& years) {
    const RecordRecipe& record = *finished.recipe.record;
    StationNormals normals;
    normals.variable = variable;
    normals.source = finished.source;
    normals.values = years.values;
    normals.lines.fill(finished.first);
    int fewest = record.last_year - record.first_year + 1;
    for (std::size_t month = 0; month < kMonths; ++month)
        if (!std::isnan(years.values[month])) fewest = std::min(fewest, years.years[month]);
    normals.years = fewest;
    normals.length =
        has_share_of_years(fewest, record.first_year, record.last_year, record.completeness)
            ? length_of_years(fewest)
            : RecordLength::short_record;
    return normals;
}

/// Mean over the year from the station's monthly means alone, without a site correction.
double monthly_eto_mm_per_day(const Station& station, ReferenceSurface surface) {
    const PointClimate climate =
        climate_of_variables(station.position, station.elevation_m,
                             [&](Variable variable) { return values_of(station, variable); });
    for (std::size_t month = 0; month < kMonths; ++month) {
        const bool has_sun = std::isfinite(climate.rs_mj_m2_day[month]) ||
                             std::isfinite(climate.sunshine_hours_per_day[month]) ||
                             std::isfinite(climate.sunshine_fraction[month]);
        if (!has_sun || std::isnan(climate.vapour_pressure_kpa[month]) ||
            std::isnan(climate.u2_m_per_s[month]))
            return kUnknown;
    }
    EtOptions options;
    options.reference = surface;
    options.site_correction = false;
    const MonthlySun sun = monthly_sun(station.position.lat_deg);
    return mean_over_year(reference_et_profile(climate, sun, {}, options).eto_mm_per_day);
}

}  // namespace

StationFindings normals_of_record(const FinishedRecord& finished, Station& station,
                                  RecordFindings& source) {
    const RecordRecipe& record = *finished.recipe.record;
    const std::vector<Variable>& variables = finished.columns.variables();
    StationFindings findings;
    findings.name = station.name;
    findings.id = station.id;
    findings.eto = finished.eto;
    std::vector<MonthsOfVariable> all_months;
    for (std::size_t v = 0; v < variables.size(); ++v) {
        const bool is_measured = v < finished.columns.measured();
        YearsOfStation::Values months = finished.record.values_of(v, record.completeness);
        for (const std::size_t far : far_from_other_years(variables[v], months.values)) {
            months.values[far] = kUnknown;
            months.reasons[far] = VoidReason::far_from_other_years;
        }
        const NormalsOfYears years = normals_of_years(months.values, record.completeness);
        const bool is_computed_eto = static_cast<int>(v) == finished.columns.computed_eto();
        if (is_measured && !months.values.empty()) {
            findings.variables.push_back(
                {variables[v], years.years, void_months(months.reasons, record.first_year)});
            for (const VoidReason reason : months.reasons)
                ++source.months_void[static_cast<std::size_t>(reason)];
            source.months_used +=
                std::accumulate(years.years.begin(), years.years.end(), std::int64_t{0});
        }
        all_months.push_back({variables[v], months.values});
        if (variables[v] == Variable::rain) findings.rain_trend = yearly_trend(months.values);
        // The network's own comes before that which is calculated.
        if (variables[v] == Variable::eto && !findings.eto_trend)
            findings.eto_trend = yearly_trend(month_totals(months.values, record.first_year));
        if (is_computed_eto) findings.daily_eto_mm_per_day = mean_over_year(years.values);
        if (variables[v] == Variable::eto && !is_computed_eto)
            findings.reported_eto_mm_per_day = mean_over_year(years.values);
        if (known_months(years.values) == 0) continue;
        if (is_computed_eto && (!record.uses_eto_of_days || normals_of(station, Variable::eto)))
            continue;
        station.normals.push_back(station_normals(finished, variables[v], years));
    }
    station.years = years_of_record(all_months, station, record);
    findings.years = station.years;
    if (finished.columns.computed_eto() >= 0)
        findings.monthly_eto_mm_per_day = monthly_eto_mm_per_day(station, record.reference);
    return findings;
}

}  // namespace thirstline
