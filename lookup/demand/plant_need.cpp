#include "lookup/demand/plant_need.hpp"

#include "lookup/demand/effective_rain.hpp"
#include "lookup/demand/handbook.hpp"

namespace thirstline {
namespace {

Monthly<double> flat(double coefficient) {
    Monthly<double> by_month{};
    by_month.fill(coefficient);
    return by_month;
}

}  // namespace

Monthly<double> plant_coefficients(const Planting& planting,
                                   const std::optional<Exposure>& exposure) {
    const auto microclimate_of = [&](const std::optional<double>& own) {
        return own.value_or(microclimate_factor(exposure.value_or(Exposure::average)));
    };
    if (const auto* turf = std::get_if<Turf>(&planting)) {
        Monthly<double> by_month = turf_coefficients(*turf);
        for (double& coefficient : by_month) coefficient *= microclimate_of(turf->microclimate);
        return by_month;
    }
    if (const auto* factor = std::get_if<PlantFactor>(&planting)) return flat(factor->value);
    if (const auto* landscape = std::get_if<LandscapeCoefficient>(&planting)) {
        return flat(landscape->species * landscape->density.value_or(1.0) *
                    microclimate_of(landscape->microclimate));
    }
    return std::get<CropCoefficient>(planting).by_month;
}

bool is_dormant(const Planting& planting, const std::optional<double>& tmean_c) {
    if (!tmean_c) return false;
    const auto* turf = std::get_if<Turf>(&planting);
    return turf != nullptr ? *tmean_c < dormant_below_c(turf->season) : *tmean_c <= kFrozenBelowC;
}

}  // namespace thirstline
