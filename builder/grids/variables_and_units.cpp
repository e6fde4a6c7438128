#include "builder/grids/variables_and_units.hpp"

#include <array>
#include <utility>

#include "schema/base/nearest_name.hpp"
#include "schema/base/words.hpp"

namespace thirstline {
namespace {

constexpr std::array<std::string_view, kVariables> kVariableNames{"tmax",
                                                                  "tmin",
                                                                  "tmean",
                                                                  "temperature_range",
                                                                  "vapour_pressure",
                                                                  "specific_humidity",
                                                                  "dew_point",
                                                                  "relative_humidity",
                                                                  "relative_humidity_max",
                                                                  "relative_humidity_min",
                                                                  "vapour_pressure_deficit",
                                                                  "vapour_pressure_deficit_max",
                                                                  "vapour_pressure_deficit_min",
                                                                  "wind",
                                                                  "wind_u",
                                                                  "wind_v",
                                                                  "radiation",
                                                                  "sunshine_hours",
                                                                  "sunshine_fraction",
                                                                  "cloud",
                                                                  "rain",
                                                                  "rain_days",
                                                                  "eto",
                                                                  "elevation"};

constexpr double kMegajoulePerKilowattHour = 3.6;   // exact
constexpr double kMegajoulePerDayPerWatt = 0.0864;  // 86 400 s a day, exact
constexpr double kMillimetresPerInch = 25.4;        // exact
constexpr double kMetresPerFoot = 0.3048;           // exact
constexpr double kMetresPerMile = 1609.344;         // exact
constexpr double kMetresPerNauticalMile = 1852.0;   // exact
constexpr double kSecondsPerHour = 3600.0;
constexpr double kSecondsPerDay = 86'400.0;
constexpr double kMegajoulePerLangley = 0.04184;  // one thermochemical calorie per cm2, exact
constexpr double kMillimetresPerMetre = 1000.0;
constexpr double kTenth = 0.1;
constexpr double kOkta = 0.125;

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
        case Variable::temperature_range:
            return {{"degC", constant(1.0)}, {"degF", constant(5.0 / 9.0)}, {"K", constant(1.0)}};
        case Variable::vapour_pressure:
        case Variable::vapour_pressure_deficit:
        case Variable::vapour_pressure_deficit_max:
        case Variable::vapour_pressure_deficit_min:
            return {{"kPa", constant(1.0)},
                    {"hPa", constant(0.1)},
                    {"mbar", constant(0.1)},
                    {"Pa", constant(0.001)}};
        case Variable::specific_humidity:
            return {{"kg/kg", constant(1.0)}, {"g/kg", constant(0.001)}};
        case Variable::relative_humidity:
        case Variable::relative_humidity_max:
        case Variable::relative_humidity_min:
            return {{"%", constant(1.0)}, {"fraction", constant(100.0)}};
        case Variable::wind:
        case Variable::wind_u:
        case Variable::wind_v:
            return {{"m/s", constant(1.0)},
                    {"km/h", constant(1000.0 / kSecondsPerHour)},
                    {"km/day", constant(1000.0 / kSecondsPerDay)},
                    {"mph", constant(kMetresPerMile / kSecondsPerHour)},
                    {"knot", constant(kMetresPerNauticalMile / kSecondsPerHour)}};
        case Variable::radiation:
            return {{"MJ/m2/day", constant(1.0)},
                    {"kJ/m2/day", constant(1e-3)},
                    {"J/m2/day", constant(1e-6)},
                    {"W/m2", constant(kMegajoulePerDayPerWatt)},
                    {"kWh/m2/day", constant(kMegajoulePerKilowattHour)},
                    {"Wh/m2/day", constant(kMegajoulePerKilowattHour / 1000.0)},
                    {"Ly/day", constant(kMegajoulePerLangley)}};
        case Variable::sunshine_hours:
            return {{"h/day", constant(1.0)}, {"h/month", over_days(1.0)}, {"h", over_days(1.0)}};
        case Variable::sunshine_fraction:
            return {{"fraction", constant(1.0)}, {"%", constant(0.01)}};
        case Variable::cloud:
            return {{"fraction", constant(1.0)},
                    {"%", constant(0.01)},
                    {"tenths", constant(kTenth)},
                    {"oktas", constant(kOkta)}};
        case Variable::rain:
            return {{"mm", constant(1.0)},
                    {"mm/month", constant(1.0)},
                    {"mm/day", times_days(1.0)},
                    {"m", constant(kMillimetresPerMetre)},
                    {"m/month", constant(kMillimetresPerMetre)},
                    {"m/day", times_days(kMillimetresPerMetre)},
                    {"kg/m2/s", times_days(kSecondsPerDay)},
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
constexpr std::array<std::pair<std::string_view, std::string_view>, 72> kOtherSpellings{{
    {"W h/m2/day", "Wh/m2/day"},
    {"W h m-2 day-1", "Wh/m2/day"},
    {"Wh/m2", "Wh/m2/day"},
    {"kJ m-2 day-1", "kJ/m2/day"},
    {"kJ/m2", "kJ/m2/day"},
    {"J m-2 day-1", "J/m2/day"},
    {"J m-2", "J/m2/day"},
    {"J m**-2", "J/m2/day"},
    {"J/m2", "J/m2/day"},
    {"langley/day", "Ly/day"},
    {"langleys", "Ly/day"},
    {"ly/day", "Ly/day"},
    {"Ly", "Ly/day"},
    {"cal/cm2/day", "Ly/day"},
    {"kg m-2 s-1", "kg/m2/s"},
    {"kg m**-2 s**-1", "kg/m2/s"},
    {"mm/s", "kg/m2/s"},
    {"kg/m2", "mm"},
    {"kg m-2", "mm"},
    {"km/d", "km/day"},
    {"km day-1", "km/day"},
    {"m/d", "m/day"},
    {"m day-1", "m/day"},
    {"mm/d", "mm/day"},
    {"mm day-1", "mm/day"},
    {"millibar", "mbar"},
    {"mBars", "mbar"},
    {"mb", "mbar"},
    {"g kg-1", "g/kg"},
    {"kg kg-1", "kg/kg"},
    {"tenth", "tenths"},
    {"okta", "oktas"},
    {"octas", "oktas"},
    {"eighths", "oktas"},
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

std::optional<Variable> counterpart_of(Variable variable) {
    using enum Variable;
    switch (variable) {
        case relative_humidity_max:
            return relative_humidity_min;
        case relative_humidity_min:
            return relative_humidity_max;
        case vapour_pressure_deficit_max:
            return vapour_pressure_deficit_min;
        case vapour_pressure_deficit_min:
            return vapour_pressure_deficit_max;
        case wind_u:
            return wind_v;
        case wind_v:
            return wind_u;
        default:
            return std::nullopt;
    }
}

bool is_wind(Variable variable) {
    return variable == Variable::wind || variable == Variable::wind_u ||
           variable == Variable::wind_v;
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
