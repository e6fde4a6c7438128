// Numbers of a station table in the units of computation: codes of missing values and of zero,
// decimal commas, units written beside numbers, scale, offset and unit of a variable.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <utility>
#include <vector>

#include "builder/grids/variables_and_units.hpp"
#include "builder/recipe/station_recipe.hpp"

namespace thirstline {

class StationNumbers {
  public:
    explicit StationNumbers(const StationRecipe& recipe);

    [[nodiscard]] bool is_missing(const std::string& text) const;

    /// A number without a unit beside it, such as a count of years; nothing for any other text.
    [[nodiscard]] std::optional<double> plain(const std::string& text) const;

    /// In the unit of computation, for a month (0 to 11) of the recipe's variable of that index;
    /// or the rule that the text breaks.
    [[nodiscard]] tl::expected<double, std::string> value(std::size_t variable, std::size_t month,
                                                          const std::string& text);

    /// A plausible value as stations keep it: wind at 2 m, with the recipe's factor; values
    /// slightly above the maximum are set to the maximum.
    [[nodiscard]] double as_kept(Variable variable, double value) const;

    /// Elevation in m, or the rule that the text breaks.
    [[nodiscard]] tl::expected<double, std::string> elevation_m(const std::string& text);

  private:
    /// With a unit beside it only if it is the recipe's.
    [[nodiscard]] tl::expected<double, std::string> number(Variable variable,
                                                           const std::string& unit,
                                                           const std::string& text);
    [[nodiscard]] bool agrees(Variable variable, const std::string& unit, std::string_view beside);

    const StationRecipe& recipe_;
    std::vector<UnitConversion> conversions_;  ///< by variable, of its unit
    double metres_ = 1.0;                      ///< per unit of elevation
    std::map<std::pair<Variable, std::string>, bool, std::less<>> known_units_;
};

}  // namespace thirstline
