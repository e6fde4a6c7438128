#include "builder/fusion/year_fields.hpp"

#include <algorithm>
#include <cmath>

#include "builder/fusion/covariance_fit.hpp"
#include "builder/fusion/left_out_errors.hpp"

namespace thirstline {

namespace {

enum FieldNumber : std::size_t { eto_field, rain_field, deviate_field };

// Squares of the usual differences between neighbouring stations, of which most is the error of
// thirty years: 1 % of ETo, 10 % of rain, a tenth of a standard deviation. Our own estimates, from
// the synthetic network of the tests.
constexpr double kUsualEtoVariance = 0.01 * 0.01;
constexpr double kUsualRainVariance = 0.1 * 0.1;
constexpr double kUsualDeviateVariance = 0.1 * 0.1;
constexpr double kYearsOfWholeRecord = 30.0;
// Half of a month's rain is effective, roughly: only a weight of the errors.
constexpr double kEffectiveShare = 0.5;

// Of the errors of two adjacent months. Our own: on the synthetic network of the tests the 90 %
// interval then holds that share of the stations left out.
constexpr double kCorrelationOfNextMonth = 0.5;

/// The ranges are those of rain's drivers: years' weather is alike over hundreds of kilometres.
CovarianceModel usual_model(double usual_variance) {
    CovarianceModel model{400, 1.5, 1e9, 0.2, 0.0, 1.0, 200, 0.0, 0.0, false};
    model.usual_variance = usual_variance;
    return model;
}

/// Of the months' errors together, which correlate less the farther apart the months are.
double error_of_sum(const Monthly<double>& errors) {
    double variance = 0.0;
    for (int month = 0; month < kMonths; ++month) {
        for (int other = 0; other < kMonths; ++other) {
            const int apart = std::abs(month - other);
            variance += errors[static_cast<std::size_t>(month)] *
                        errors[static_cast<std::size_t>(other)] *
                        std::pow(kCorrelationOfNextMonth, std::min(apart, kMonths - apart));
        }
    }
    return std::sqrt(variance);
}

}  // namespace

YearFields::Field YearFields::field_of(const std::vector<SlopesAtStation>& stations,
                                       const std::vector<Monthly<double>>& values,
                                       double usual_variance) {
    Monthly<double> mean{};
    for (const Monthly<double>& of : values)
        for (std::size_t month = 0; month < kMonths; ++month)
            mean[month] += of[month] / static_cast<double>(values.size());
    std::vector<ResidualStation> residuals;
    for (std::size_t i = 0; i < stations.size(); ++i) {
        ResidualStation residual;
        residual.site = stations[i].site;
        residual.noise = std::max(1.0, kYearsOfWholeRecord / stations[i].years);
        residual.number = stations[i].place;
        for (std::size_t month = 0; month < kMonths; ++month)
            residual.residual[month] = values[i][month] - mean[month];
        residuals.push_back(std::move(residual));
    }
    const CovarianceModel model = fitted_covariance(residuals, usual_model(usual_variance));
    Field field{mean, ResidualField(std::move(residuals), model), 1.0};
    field.error_factor = left_out_error_factor(field.residuals);
    return field;
}

YearFields::YearFields(const std::vector<SlopesAtStation>& stations) {
    if (stations.empty()) return;
    std::vector<Monthly<double>> eto;
    std::vector<Monthly<double>> rain;
    std::vector<Monthly<double>> deviate;
    for (const SlopesAtStation& station : stations) {
        eto.push_back(station.slopes.eto_share);
        rain.push_back(station.slopes.rain_share);
        deviate.emplace_back();
        deviate.back().fill(station.slopes.deviate_of_normals);
    }
    fields_.push_back(field_of(stations, eto, kUsualEtoVariance));
    fields_.push_back(field_of(stations, rain, kUsualRainVariance));
    fields_.push_back(field_of(stations, deviate, kUsualDeviateVariance));
}

std::optional<YearFields::Estimate> YearFields::estimate(
    std::size_t number, const ResidualSite& site, const std::optional<LeftOut>& left_out) const {
    const Field& field = fields_[number];
    const auto found = field.residuals.at(site, left_out);
    if (!found) return std::nullopt;
    Estimate estimate;
    for (std::size_t month = 0; month < kMonths; ++month) {
        estimate.value[month] = field.mean[month] + found->correction[month];
        estimate.standard_error[month] = found->standard_error[month] * field.error_factor;
    }
    return estimate;
}

std::optional<SlopesOfPlace> YearFields::at(const ResidualSite& site, const Monthly<double>& eto_mm,
                                            const Monthly<double>& rain_mm,
                                            const std::optional<LeftOut>& left_out) const {
    if (fields_.empty()) return std::nullopt;
    const auto eto = estimate(eto_field, site, left_out);
    const auto rain = estimate(rain_field, site, left_out);
    const auto deviate = estimate(deviate_field, site, left_out);
    if (!eto || !rain || !deviate) return std::nullopt;
    SlopesOfPlace found;
    found.slopes = {eto->value, rain->value, deviate->value[0]};
    Monthly<double> errors{};
    double change = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double of_eto = kLawnCoefficient * eto_mm[month];
        const double of_rain = std::isnan(rain_mm[month]) ? 0.0 : kEffectiveShare * rain_mm[month];
        errors[month] =
            std::hypot(of_eto * eto->standard_error[month], of_rain * rain->standard_error[month]);
        change += of_eto * eto->value[month] - of_rain * rain->value[month];
    }
    found.error_share = change > 0.0 ? error_of_sum(errors) / change : kUnknown;
    return found;
}

std::vector<SlopesAtStation> slopes_at_stations(std::span<const Station> stations,
                                                std::span<const StationPlace> places) {
    std::vector<SlopesAtStation> found;
    for (std::size_t p = 0; p < places.size(); ++p) {
        const Station& station = stations[places[p].station];
        if (!station.years || known_months(values_of(station, Variable::rain)) == 0) continue;
        found.push_back({p, places[p].site, station.years->slopes, station.years->years});
    }
    return found;
}

}  // namespace thirstline
