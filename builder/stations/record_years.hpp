// The years of one station of a record: ETo and rain of each month, and how they change with the
// year's need for water.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "builder/recipe/station_recipe.hpp"
#include "builder/records/year_slopes.hpp"
#include "builder/stations/station.hpp"

namespace thirstline {

/// One variable's values by month from January of the first year, in the unit of computation; NaN
/// is unknown.
struct MonthsOfVariable {
    Variable variable = Variable::tmax;
    std::vector<double> values;
};

/// Totals of months, mm, from their means, mm/day, of consecutive years from a January.
[[nodiscard]] std::vector<double> month_totals(std::vector<double> mm_per_day, int first_year);

/// The climate of a place from values of its variables, one way for the normals of a station and
/// for a single year.
using VariableYear = std::function<Monthly<double>(Variable)>;
[[nodiscard]] PointClimate climate_of_variables(LatLon position, double elevation_m,
                                                const VariableYear& values);

/// Fewer years do not give a standard deviation between years.
inline constexpr int kMinYearsOfNeed = 10;

/// Of `months` the first that has reference ET in enough years is used: the network's own before
/// that which is calculated by day, in the order given. Otherwise ETo is calculated for each month
/// of each year from its means: by Penman–Monteith from the drivers measured (a month without wind,
/// humidity or sunshine takes their normal), by Hargreaves–Samani from temperature alone; not for
/// the tall reference. Nothing without position, elevation, rain or temperature in enough years.
[[nodiscard]] std::optional<YearsOfNeed> years_of_record(
    const std::vector<MonthsOfVariable>& months, const Station& station,
    const RecordRecipe& record);

}  // namespace thirstline
