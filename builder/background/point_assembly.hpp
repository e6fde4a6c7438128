// Computes the climate of a place from the values of the grids there: the best grid for each
// variable and month, temperature and humidity adjusted to the place's own elevation, impossible
// combinations rejected.
//
// Of several variables for one driver the more trusted is used:
//   Tmax, Tmin   given → the other extreme and the range → the other extreme and the mean → the
//                mean and the range
//   humidity     vapour pressure → specific humidity, with the air pressure at its cells' elevation
//                → dew point → relative humidity: its extremes, its mean → vapour-pressure deficit,
//                with the temperatures at its cells' elevation (it becomes a relative humidity)
//   wind         speed → the speed of the mean components, which is below the mean speed
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "builder/grids/grid_window.hpp"
#include "builder/reference_et/lapse_rates.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// The values of one grid at the place.
struct GridAtPlace {
    Variable variable = Variable::tmax;
    GridSample sample;
    CellGround ground;  ///< of the cells used; only if the variable depends on elevation
};

/// Rules for combinations of values.
enum class CombinedRule {
    minimum_not_below_maximum,
    range_too_wide,           ///< a daily range over 40 °C, which no month has had
    over_saturation,          ///< humidity above saturation at the maximum temperature
    over_extraterrestrial,    ///< more radiation than at the top of the atmosphere
    over_daylight,            ///< more sunshine than daylight
    deficit_over_saturation,  ///< a vapour-pressure deficit above that of completely dry air
    reversed_humidity,        ///< a minimum of relative humidity or of the deficit over the maximum
};
inline constexpr int kCombinedRules = 7;
[[nodiscard]] std::string_view rule_name(CombinedRule rule);

/// A value of one grid and month that breaks a rule together with others.
struct CombinedRejection {
    int grid = 0;
    int month = 0;
    double value = 0.0;
    CombinedRule rule = CombinedRule::minimum_not_below_maximum;
};

inline constexpr std::int8_t kNoGrid = -1;

struct AssembledPoint {
    PointClimate climate;
    Monthly<double> eto_of_grid = kUnknownYear;  ///< mm/day, if a grid of ETo has data
    /// By Variable and month: index of the grid that was used, or kNoGrid. A variable from which
    /// another was computed counts as used: specific humidity, the temperature range.
    std::array<Monthly<std::int8_t>, kVariables> grid_of{};
    std::vector<CombinedRejection> rejections;
};

/// Whether the value depends on elevation, so that the mean elevation of its cells must be known.
[[nodiscard]] bool is_adjusted(Variable variable);

/// `grids` in the order of the recipe: of several for one variable, the first with data is used. At
/// most 127 of them. `elevation_m` NaN: no adjustment.
[[nodiscard]] AssembledPoint assembled_point(LatLon position, double elevation_m, bool inland,
                                             std::span<const GridAtPlace> grids,
                                             const LapseRates& lapse_rates, const MonthlySun& sun);

}  // namespace thirstline
