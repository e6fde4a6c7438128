#include "builder/pipeline/point_record.hpp"

#include <algorithm>
#include <cmath>

#include "builder/fusion/rain_share.hpp"
#include "schema/tile/method.hpp"

namespace thirstline {

namespace {

constexpr double kHalfStepM = 400.0;

bool has_any(const Monthly<double>& values) {
    return std::any_of(values.begin(), values.end(), [](double v) { return !std::isnan(v); });
}

Monthly<std::uint16_t> codes_of(const ReferenceEtProfile& profile) {
    Monthly<std::uint16_t> codes{};
    for (std::size_t month = 0; month < kMonths; ++month)
        codes[month] = method_code(profile.method[month]);
    return codes;
}

/// A grid of ETo has precedence where it has data.
void take_grid_of_eto(PointRecord& record) {
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double eto = record.assembled.eto_of_grid[month];
        if (std::isnan(eto)) continue;
        Method method;
        method.equation = EtoEquation::grid_of_eto;
        method.correction = SiteCorrection::not_done_grid_of_eto;
        record.eto_mm_per_day[month] = std::max(eto, 0.0);
        record.eto_se_mm_per_day[month] = kUnknown;
        record.method[month] = record.method_of_grids[month] = method_code(method);
    }
}

/// Dry air that rises cools by 9.8 °C per km, which is the maximum lapse rate; over cold valleys
/// temperature increases with elevation, in a monthly mean by at most half as much.
double possible_lapse_c_per_km(double gradient) {
    return std::isnan(gradient) ? gradient : std::clamp(gradient, -9.8, 5.0);
}

/// Values a fixed step above and below a place, for a gradient.
struct StepValues {
    PointClimate climate;
    Monthly<double> uncorrected_eto = kUnknownYear;
};

StepValues values_at(LatLon position, const PlaceInputs& place, double elevation_m,
                     const MonthlySun& sun, const PointContext& context,
                     const std::optional<LeftOut>& left_out) {
    StepValues values;
    values.climate = assembled_point(position, elevation_m, place.inland, place.grids,
                                     default_lapse_rates(position.lat_deg), sun)
                         .climate;
    if (context.fusion.has_stations()) {
        values.climate =
            context.fusion
                .at(values.climate, residual_site(place, position, elevation_m), sun, left_out)
                .climate;
    }
    if (!has_any(values.climate.tmax_c)) return values;
    values.uncorrected_eto =
        reference_et_profile(values.climate, sun, context.survey.around(values.climate),
                             {context.recipe.reference, false, context.recipe.soil_heat})
            .eto_uncorrected_mm_per_day;
    return values;
}

}  // namespace

bool PointRecord::has_temperature() const {
    return has_any(assembled.climate.tmax_c) || has_any(tmax_c);
}

PointRecord point_record(LatLon position, const PlaceInputs& place, double elevation_m,
                         const MonthlySun& sun, const PointContext& context,
                         const std::optional<LeftOut>& left_out) {
    PointRecord record;
    record.elevation_m = elevation_m;
    record.assembled = assembled_point(position, elevation_m, place.inland, place.grids,
                                       default_lapse_rates(position.lat_deg), sun);
    PointClimate climate = record.assembled.climate;
    FusedPoint fused;
    const bool has_stations = context.fusion.has_stations() && std::isfinite(elevation_m);
    if (has_stations) {
        fused =
            context.fusion.at(climate, residual_site(place, position, elevation_m), sun, left_out);
        climate = fused.climate;
        record.is_of_stations_period = fused.is_of_stations_period;
        record.rain_se_mm = fused.rain_se_mm;
    }
    if (std::isfinite(elevation_m) && has_any(climate.tmax_c)) {
        const EtOptions options = et_options_of(context.recipe);
        const Surroundings around = context.survey.around(climate);
        const ReferenceEtProfile profile = reference_et_profile(climate, sun, around, options);
        record.eto_mm_per_day = profile.eto_mm_per_day;
        record.method = record.method_of_grids = codes_of(profile);
        if (has_stations) {
            record.eto_se_mm_per_day =
                context.fusion.eto_se_mm_per_day(fused, sun, around, profile);
            record.method_of_grids = codes_of(
                reference_et_profile(record.assembled.climate, sun,
                                     context.survey.around(record.assembled.climate), options));
        }
        if (context.eto_stations.has_stations()) {
            const EtoStations::Moved moved = context.eto_stations.moved(
                residual_site(place, position, elevation_m), record.eto_mm_per_day,
                record.eto_se_mm_per_day, left_out);
            record.eto_mm_per_day = moved.eto_mm_per_day;
            record.eto_se_mm_per_day = moved.se_mm_per_day;
        }
    }
    take_grid_of_eto(record);
    record.rain_mm = climate.rain_mm;
    record.tmax_c = climate.tmax_c;
    record.tmin_c = climate.tmin_c;
    if (context.years != nullptr && record.is_complete() && std::isfinite(elevation_m)) {
        Monthly<double> eto_mm{};
        for (std::size_t month = 0; month < kMonths; ++month)
            eto_mm[month] = record.eto_mm_per_day[month] * kDaysInMonth[month];
        record.years = context.years->at(residual_site(place, position, elevation_m), eto_mm,
                                         record.rain_mm, left_out);
    }
    return record;
}

RecordGradients record_gradients(LatLon position, const PlaceInputs& place, const MonthlySun& sun,
                                 const PointContext& context, const PointRecord& at_place,
                                 const std::optional<LeftOut>& left_out) {
    RecordGradients gradients;
    if (!std::isfinite(at_place.elevation_m)) return gradients;
    const StepValues above =
        values_at(position, place, at_place.elevation_m + kHalfStepM, sun, context, left_out);
    const StepValues below =
        values_at(position, place, at_place.elevation_m - kHalfStepM, sun, context, left_out);
    constexpr double kStepKm = 2.0 * kHalfStepM / 1000.0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double middle = (above.uncorrected_eto[month] + below.uncorrected_eto[month]) / 2.0;
        const double correction = middle > 0.0 ? at_place.eto_mm_per_day[month] / middle : 1.0;
        gradients.eto_mm_per_day_per_km[month] =
            (above.uncorrected_eto[month] - below.uncorrected_eto[month]) / kStepKm * correction;
        gradients.tmax_c_per_km[month] = possible_lapse_c_per_km(
            (above.climate.tmax_c[month] - below.climate.tmax_c[month]) / kStepKm);
        gradients.tmin_c_per_km[month] = possible_lapse_c_per_km(
            (above.climate.tmin_c[month] - below.climate.tmin_c[month]) / kStepKm);
        const double rain = at_place.rain_mm[month];
        gradients.rain_share_per_km[month] =
            rain >= kMinRainOfShareMm ? context.fusion.rain_share_factor() *
                                            rain_share_per_km(above.climate.rain_mm[month],
                                                              below.climate.rain_mm[month], kStepKm)
                                      : 0.0;
    }
    return gradients;
}

}  // namespace thirstline
