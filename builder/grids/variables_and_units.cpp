#include "builder/grids/variables_and_units.hpp"

#include <array>
#include <utility>

#include "schema/base/nearest_name.hpp"
#include "schema/base/words.hpp"

namespace thirstline {
namespace {

constexpr std::array<std::string_view, kVariables> kVariableNames{
    "tmax",           "tmin",
    "tmean",          "vapour_pressure",
    "dew_point",      "relative_humidity",
    "wind",           "radiation",
    "sunshine_hours", "sunshine_fraction",
    "cloud",          "rain",
    "rain_days",      "eto",
    "elevation"};

constexpr double kMegajoulePerKilowattHour = 3.6;   // exact
constexpr double kMegajoulePerDayPerWatt = 0.0864;  // 86 400 s a day, exact
constexpr double kMillimetresPerInch = 25.4;        // exact
constexpr double kMetresPerFoot = 0.3048;           // exact
constexpr double kMetresPerMile = 1609.344;         // exact
constexpr double kMetresPerNauticalMile = 1852.0;   // exact
constexpr double kSecondsPerHour = 3600.0;

UnitConversion constant(double factor, double offset = 0.0) {
    UnitConversion conversion;
    conversion.factor.fill(factor);
    conversion.offset = offset;
    return conversion;
}

/// For a unit per day if the canonical one is per month.
UnitConversion times_days(double factor) {
    UnitConversion conversion;
    for (std::size_t month = 0; month < kMonths; ++month)
        conversion.factor[month] = factor * kDaysInMonth[month];
    return conversion;
}

/// For a monthly total if the canonical unit is a daily mean.
UnitConversion over_days(double factor) {
    UnitConversion conversion;
    for (std::size_t month = 0; month < kMonths; ++month)
        conversion.factor[month] = factor / kDaysInMonth[month];
    return conversion;
}

/// The first of each list is the canonical unit.
using UnitTable = std::vector<std::pair<std::string_view, UnitConversion>>;

UnitTable unit_table(Variable variable) {
    switch (variable) {
        case Variable::tmax:
        case Variable::tmin:
        case Variable::tmean:
        case Variable::dew_point:
            return {{"degC", constant(1.0)},
                    {"degF", constant(5.0 / 9.0, -160.0 / 9.0)},
                    {"K", constant(1.0, -273.15)}};
        case Variable::vapour_pressure:
            return {{"kPa", constant(1.0)}, {"hPa", constant(0.1)}, {"Pa", constant(0.001)}};
        case Variable::relative_humidity:
            return {{"%", constant(1.0)}, {"fraction", constant(100.0)}};
        case Variable::wind:
            return {{"m/s", constant(1.0)},
                    {"km/h", constant(1000.0 / kSecondsPerHour)},
                    {"mph", constant(kMetresPerMile / kSecondsPerHour)},
                    {"knot", constant(kMetresPerNauticalMile / kSecondsPerHour)}};
        case Variable::radiation:
            return {{"MJ/m2/day", constant(1.0)},
                    {"W/m2", constant(kMegajoulePerDayPerWatt)},
                    {"kWh/m2/day", constant(kMegajoulePerKilowattHour)}};
        case Variable::sunshine_hours:
            return {{"h/day", constant(1.0)}, {"h/month", over_days(1.0)}, {"h", over_days(1.0)}};
        case Variable::sunshine_fraction:
        case Variable::cloud:
            return {{"fraction", constant(1.0)}, {"%", constant(0.01)}};
        case Variable::rain:
            return {{"mm", constant(1.0)},
                    {"mm/month", constant(1.0)},
                    {"mm/day", times_days(1.0)},
                    {"in", constant(kMillimetresPerInch)}};
        case Variable::rain_days:
            return {{"day", constant(1.0)}};
        case Variable::eto:
            return {{"mm/day", constant(1.0)},
                    {"mm/month", over_days(1.0)},
                    {"mm", over_days(1.0)},
                    {"in", over_days(kMillimetresPerInch)}};
        case Variable::elevation:
            return {{"m", constant(1.0)}, {"ft", constant(kMetresPerFoot)}};
    }
    return {};
}

/// Common spellings of units, used only for suggestions.
constexpr std::array<std::pair<std::string_view, std::string_view>, 40> kOtherSpellings{{
    {"C", "degC"},
    {"°C", "degC"},
    {"celsius", "degC"},
    {"Celsius", "degC"},
    {"deg C", "degC"},
    {"centigrade", "degC"},
    {"F", "degF"},
    {"°F", "degF"},
    {"fahrenheit", "degF"},
    {"Fahrenheit", "degF"},
    {"deg F", "degF"},
    {"kelvin", "K"},
    {"Kelvin", "K"},
    {"degK", "K"},
    {"mbar", "hPa"},
    {"mb", "hPa"},
    {"percent", "%"},
    {"pct", "%"},
    {"1", "fraction"},
    {"m s-1", "m/s"},
    {"mps", "m/s"},
    {"kph", "km/h"},
    {"kmh", "km/h"},
    {"knots", "knot"},
    {"kt", "knot"},
    {"W m-2", "W/m2"},
    {"W/m^2", "W/m2"},
    {"MJ m-2 day-1", "MJ/m2/day"},
    {"MJ/m2", "MJ/m2/day"},
    {"kWh/m2", "kWh/m2/day"},
    {"hours", "h"},
    {"hours/day", "h/day"},
    {"hours/month", "h/month"},
    {"inch", "in"},
    {"inches", "in"},
    {"days", "day"},
    {"metres", "m"},
    {"meters", "m"},
    {"feet", "ft"},
    {"foot", "ft"},
}};

std::string meant_unit(Variable variable, std::string_view unit) {
    const std::vector<std::string_view>& known = units_of(variable);
    for (const auto& [spelling, meaning] : kOtherSpellings) {
        if (spelling != unit) continue;
        for (const std::string_view candidate : known)
            if (candidate == meaning) return std::string(meaning);
    }
    return nearest_name(unit, known);
}

}  // namespace

const std::vector<Variable>& all_variables() {
    static const std::vector<Variable> kAll = [] {
        std::vector<Variable> all;
        for (int i = 0; i < kVariables; ++i) all.push_back(static_cast<Variable>(i));
        return all;
    }();
    return kAll;
}

std::string_view variable_name(Variable variable) {
    return kVariableNames[static_cast<std::size_t>(variable)];
}

std::optional<Variable> variable_by_name(std::string_view name) {
    for (const Variable variable : all_variables())
        if (variable_name(variable) == name) return variable;
    return std::nullopt;
}

std::string_view canonical_unit(Variable variable) {
    return units_of(variable).front();
}

const std::vector<std::string_view>& units_of(Variable variable) {
    static const std::vector<std::vector<std::string_view>> kUnits = [] {
        std::vector<std::vector<std::string_view>> all;
        for (const Variable each : all_variables()) {
            std::vector<std::string_view>& names = all.emplace_back();
            for (const auto& [name, conversion] : unit_table(each)) names.push_back(name);
        }
        return all;
    }();
    return kUnits[static_cast<std::size_t>(variable)];
}

Result<UnitConversion> unit_conversion(Variable variable, std::string_view unit) {
    for (const auto& [name, conversion] : unit_table(variable))
        if (name == unit) return conversion;
    std::string choices;
    for (const std::string_view name : units_of(variable)) {
        if (!choices.empty()) choices += ", ";
        choices += name;
    }
    return fail(ErrorCode::bad_input,
                "unit " + in_quotes(unit) + " is not valid for " +
                    std::string(variable_name(variable)) + "; did you mean " +
                    in_quotes(meant_unit(variable, unit)) + "?",
                "the units of " + std::string(variable_name(variable)) + " are " + choices);
}

}  // namespace thirstline
