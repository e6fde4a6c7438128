#include "builder/stations/station_numbers.hpp"

#include <algorithm>
#include <array>

#include "builder/grids/file_units.hpp"
#include "builder/grids/plausible_values.hpp"
#include "builder/inputs/table_fields.hpp"
#include "builder/reference_et/wind.hpp"

namespace thirstline {

namespace {

/// Spellings that people write beside numbers, and that UDUNITS takes for other units or does not
/// know. The sign of degrees alone is an angle or a temperature: it says nothing of the scale.
struct Spelling {
    std::string_view beside;
    std::string_view unit;
};
constexpr std::array<Spelling, 10> kSpellings{{{"C", "degC"},
                                               {"°C", "degC"},
                                               {"ºC", "degC"},
                                               {"F", "degF"},
                                               {"°F", "degF"},
                                               {"ºF", "degF"},
                                               {"msnm", "m"},
                                               {"m.s.n.m.", "m"},
                                               {"masl", "m"},
                                               {"m a.s.l.", "m"}}};

bool contains(const std::vector<double>& codes, double number) {
    return std::find(codes.begin(), codes.end(), number) != codes.end();
}
bool contains(const std::vector<std::string>& words, const std::string& text) {
    return std::find(words.begin(), words.end(), text) != words.end();
}

}  // namespace

StationNumbers::StationNumbers(const StationRecipe& recipe) : recipe_(recipe) {
    for (const StationVariable& variable : recipe.variables) {
        // The recipe has been checked: the unit is valid for the variable.
        conversions_.push_back(
            unit_conversion(variable.variable, variable.unit).value_or(UnitConversion{}));
    }
    metres_ = unit_conversion(Variable::elevation, recipe.elevation_unit)
                  .value_or(UnitConversion{})
                  .factor[0];
}

bool StationNumbers::is_missing(const std::string& text) const {
    if (text.empty() || contains(recipe_.missing_words, text)) return true;
    const auto number = plain(text);
    return number && contains(recipe_.missing, *number);
}

std::optional<double> StationNumbers::plain(const std::string& text) const {
    return number_in_field(with_decimal_point(text, recipe_.format));
}

tl::expected<double, std::string> StationNumbers::value(std::size_t variable, std::size_t month,
                                                        const std::string& text) {
    const StationVariable& of = recipe_.variables[variable];
    const UnitConversion& conversion = conversions_[variable];
    if (contains(recipe_.zero_words, text))
        return conversion.canonical(0.0, static_cast<int>(month));
    auto found = number(of.variable, of.unit, text);
    if (!found) return found;
    if (contains(recipe_.zero, *found)) return conversion.canonical(0.0, static_cast<int>(month));
    return conversion.canonical(*found * of.scale + of.offset, static_cast<int>(month));
}

double StationNumbers::as_kept(Variable variable, double value) const {
    const double clamped = clamped_to_range(variable, value);
    return variable == Variable::wind
               ? wind_at_two_metres_m_per_s(clamped * recipe_.wind_factor, recipe_.height_m)
               : clamped;
}

tl::expected<double, std::string> StationNumbers::elevation_m(const std::string& text) {
    const auto found = number(Variable::elevation, recipe_.elevation_unit, text);
    return found ? tl::expected<double, std::string>(*found * metres_) : found;
}

tl::expected<double, std::string> StationNumbers::number(Variable variable, const std::string& unit,
                                                         const std::string& text) {
    const std::string pointed = with_decimal_point(text, recipe_.format);
    const auto found = number_with_unit(pointed);
    if (!found) return tl::unexpected<std::string>("not a number");
    if (found->unit.empty() || agrees(variable, unit, found->unit)) return found->number;
    return tl::unexpected<std::string>("the text after the number is not the recipe's unit");
}

bool StationNumbers::agrees(Variable variable, const std::string& unit, std::string_view beside) {
    const std::string text(beside);
    const auto known = known_units_.find(std::pair(variable, text));
    if (known != known_units_.end()) return known->second;
    const auto spelling =
        std::find_if(kSpellings.begin(), kSpellings.end(),
                     [beside](const Spelling& each) { return each.beside == beside; });
    const bool is_same = spelling != kSpellings.end()
                             ? spelling->unit == unit
                             : compare_file_unit(variable, unit, text) == FileUnit::agrees;
    constexpr std::size_t kMaxKept = 1000;  // a table of nonsense has any number of texts
    if (known_units_.size() < kMaxKept) known_units_.emplace(std::pair(variable, text), is_same);
    return is_same;
}

}  // namespace thirstline
