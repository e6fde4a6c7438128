// Water use of plants as a fraction of reference ET.
#pragma once

#include <optional>

#include "lookup/demand/zone.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// Coefficient on ETo by month. A plant factor, a turf coefficient or a crop coefficient is used as
/// it is. A landscape coefficient is KL = ks · kd · kmc (University of California method), with kd
/// 1 unless given and kmc by the exposure unless given.
[[nodiscard]] Monthly<double> plant_coefficients(const Planting& planting,
                                                 const std::optional<Exposure>& exposure);

/// ETc = K · ETo. FAO Irrigation and Drainage Paper 56 (1998), eq. 56.
[[nodiscard]] constexpr double plant_need_mm(double coefficient, double eto_mm) {
    return coefficient * eto_mm;
}

/// By the month's mean temperature: turf below 5 °C (cool season) or 10 °C (warm season), from
/// memory; any other planting only if the month is frozen. Never if temperature is unknown.
[[nodiscard]] bool is_dormant(const Planting& planting, const std::optional<double>& tmean_c);

}  // namespace thirstline
