// Vapour pressure from the forms of humidity that sources state. Monthly means; NaN in gives NaN
// out.
#pragma once

#include <cmath>

#include "builder/reference_et/air.hpp"

namespace thirstline {

/// Ratio of the molecular masses of water vapour and dry air, as FAO-56 eq. 8 has it.
inline constexpr double kVapourToDryAir = 0.622;

/// ea = q · p / (ε + (1 − ε) · q), q in kg/kg: the inverse of q = ε · ea / (p − (1 − ε) · ea),
/// which is the definition of specific humidity (WMO-No. 8, vol. I, ch. 4) with the gas law.
[[nodiscard]] inline double vapour_pressure_from_specific_humidity_kpa(double specific_humidity,
                                                                       double air_pressure_kpa) {
    return specific_humidity * air_pressure_kpa /
           (kVapourToDryAir + (1.0 - kVapourToDryAir) * specific_humidity);
}

/// ea = es − VPD, with es of FAO-56 eq. 12; negative if the deficit contradicts the temperatures.
[[nodiscard]] inline double vapour_pressure_from_deficit_kpa(double tmax_c, double tmin_c,
                                                             double deficit_kpa) {
    return mean_saturation_vapour_pressure_kpa(tmax_c, tmin_c) - deficit_kpa;
}

/// The relative humidity that gives this vapour pressure at the mean temperature, percent. Of
/// nearly saturated air slightly over 100, because es at the mean temperature is less than the mean
/// es.
[[nodiscard]] inline double relative_humidity_at_mean_percent(double vapour_pressure_kpa,
                                                              double tmax_c, double tmin_c) {
    return 100.0 * vapour_pressure_kpa / saturation_vapour_pressure_kpa((tmax_c + tmin_c) / 2.0);
}

/// What a source states of humidity relative to the temperature, each NaN if unknown.
struct RelativeForms {
    double mean_percent = 0.0;  ///< relative humidity
    double max_percent = 0.0;
    double min_percent = 0.0;
    double deficit_kpa = 0.0;
    double deficit_max_kpa = 0.0;
    double deficit_min_kpa = 0.0;
};

enum class RelativeForm { none, extremes, mean, deficit, deficit_extremes };

/// The first known, in the order of trust: the extremes of relative humidity (FAO-56 eq. 17), its
/// mean, the deficit, the mean of the deficit's extremes. The deficit is the last because in dry
/// air it is the small difference of two large numbers: 3 % of es may be 15 % of ea.
struct RelativeHumidity {
    double percent = 0.0;  ///< at the mean temperature; NaN if nothing is known
    RelativeForm form = RelativeForm::none;
};
[[nodiscard]] inline RelativeHumidity relative_humidity_of(const RelativeForms& forms,
                                                           double tmax_c, double tmin_c) {
    const auto known = [&](double vapour_pressure_kpa, RelativeForm form) {
        return RelativeHumidity{
            relative_humidity_at_mean_percent(vapour_pressure_kpa, tmax_c, tmin_c), form};
    };
    const double of_extremes =
        vapour_pressure_from_rh_extremes_kpa(tmax_c, tmin_c, forms.max_percent, forms.min_percent);
    if (!std::isnan(of_extremes)) return known(of_extremes, RelativeForm::extremes);
    if (!std::isnan(forms.mean_percent)) return {forms.mean_percent, RelativeForm::mean};
    const double of_deficit = vapour_pressure_from_deficit_kpa(tmax_c, tmin_c, forms.deficit_kpa);
    if (!std::isnan(of_deficit)) return known(of_deficit, RelativeForm::deficit);
    const double of_deficits = vapour_pressure_from_deficit_kpa(
        tmax_c, tmin_c, (forms.deficit_max_kpa + forms.deficit_min_kpa) / 2.0);
    if (!std::isnan(of_deficits)) return known(of_deficits, RelativeForm::deficit_extremes);
    return {std::nan(""), RelativeForm::none};
}

}  // namespace thirstline
