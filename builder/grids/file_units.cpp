#include "builder/grids/file_units.hpp"

#include <udunits2.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "schema/base/words.hpp"

namespace thirstline {
namespace {

struct FreeUnit {
    void operator()(ut_unit* unit) const { ut_free(unit); }
};
struct FreeSystem {
    void operator()(ut_system* system) const { ut_free_system(system); }
};
struct FreeConverter {
    void operator()(cv_converter* converter) const { cv_free(converter); }
};
using Unit = std::unique_ptr<ut_unit, FreeUnit>;
using System = std::unique_ptr<ut_system, FreeSystem>;
using Converter = std::unique_ptr<cv_converter, FreeConverter>;

/// Suppresses UDUNITS' messages on unreadable units during its lifetime.
class QuietUdunits {
  public:
    QuietUdunits() : before_(ut_set_error_message_handler(&ut_ignore)) {}
    ~QuietUdunits() { ut_set_error_message_handler(before_); }
    QuietUdunits(const QuietUdunits&) = delete;
    QuietUdunits& operator=(const QuietUdunits&) = delete;

  private:
    ut_error_message_handler before_;
};

/// The possible meanings of a recipe's unit that a file's unit may match, in UDUNITS' syntax.
std::vector<std::string> udunits_readings(Variable variable, std::string_view unit) {
    // A difference of one kelvin is one of a degree Celsius.
    if (variable == Variable::temperature_range && (unit == "degC" || unit == "K"))
        return {"degree_Celsius", "kelvin"};
    if (unit == "degC") return {"degree_Celsius"};
    if (unit == "degF") return {"degree_Fahrenheit"};
    if (unit == "K") return {"kelvin"};
    if (unit == "%") return {"percent"};
    if (unit == "fraction") return {"1"};
    if (unit == "m/s") return {"m s-1"};
    if (unit == "km/h") return {"km hour-1"};
    if (unit == "km/day") return {"km day-1"};
    if (unit == "mph") return {"mile hour-1"};
    if (unit == "knot") return {"knot"};
    if (unit == "W/m2") return {"W m-2"};
    if (unit == "MJ/m2/day") return {"MJ m-2 day-1", "MJ m-2"};
    if (unit == "kWh/m2/day") return {"kW hour m-2 day-1", "kW hour m-2"};
    if (unit == "kJ/m2/day") return {"kJ m-2 day-1", "kJ m-2"};
    if (unit == "J/m2/day") return {"J m-2 day-1", "J m-2"};
    if (unit == "Wh/m2/day") return {"W hour m-2 day-1", "W hour m-2"};
    if (unit == "Ly/day") return {"langley day-1", "langley"};
    if (unit == "h/day") return {"hour day-1", "hour"};
    if (unit == "h/month" || unit == "h") return {"hour month-1", "hour"};
    if (unit == "mm/day") return {"mm day-1"};
    if (unit == "mm/month" || unit == "mm") return {"mm", "mm month-1"};
    if (unit == "m/day") return {"m day-1", "m"};
    if (unit == "m/month") return {"m", "m month-1"};
    if (unit == "m") return {"m", "m month-1"};
    if (unit == "kg/m2/s") return {"mm s-1"};
    if (unit == "in") return {"inch", "inch month-1"};
    if (unit == "kg/kg") return {"1"};
    if (unit == "g/kg") return {"1e-3"};
    if (unit == "tenths") return {"0.1"};
    if (unit == "oktas") return {"0.125"};
    if (unit == "day") return {"day", "day month-1", "1"};
    if (unit == "ft") return {"foot"};
    return {std::string(unit)};  // kPa hPa mbar Pa
}

std::string trimmed(std::string_view text) {
    const auto is_space = [](char c) { return std::isspace(static_cast<unsigned char>(c)) != 0; };
    while (!text.empty() && is_space(text.front())) text.remove_prefix(1);
    while (!text.empty() && is_space(text.back())) text.remove_suffix(1);
    return std::string(text);
}

/// Converts spellings that UDUNITS does not know or misreads: for it, C is the coulomb and kt the
/// kilotonne.
std::string spelled_for_udunits(Variable variable, const std::string& text) {
    const std::string lower = ascii_lower(text);
    using Spellings = std::vector<std::pair<std::string_view, std::string_view>>;
    static const Spellings kTemperature{{"c", "degree_Celsius"},
                                        {"degrees c", "degree_Celsius"},
                                        {"degree c", "degree_Celsius"},
                                        {"deg c", "degree_Celsius"},
                                        {"deg. c", "degree_Celsius"},
                                        {"degrees celsius", "degree_Celsius"},
                                        {"degree celsius", "degree_Celsius"},
                                        {"f", "degree_Fahrenheit"},
                                        {"degrees f", "degree_Fahrenheit"},
                                        {"deg f", "degree_Fahrenheit"},
                                        {"degrees fahrenheit", "degree_Fahrenheit"},
                                        {"k", "kelvin"},
                                        {"deg k", "kelvin"}};
    static const Spellings kWind{{"kt", "knot"},         {"kts", "knot"},      {"knots", "knot"},
                                 {"mph", "mile hour-1"}, {"kph", "km hour-1"}, {"kmh", "km hour-1"},
                                 {"mps", "m s-1"}};
    static const Spellings kRadiation{{"ly", "langley"},
                                      {"langleys", "langley"},
                                      {"ly/day", "langley day-1"},
                                      {"ly/d", "langley day-1"},
                                      {"ly day-1", "langley day-1"},
                                      {"ly d-1", "langley day-1"},
                                      {"langleys/day", "langley day-1"},
                                      {"langley/day", "langley day-1"},
                                      {"wh/m2", "W hour m-2"},
                                      {"wh m-2", "W hour m-2"},
                                      {"wh/m2/day", "W hour m-2 day-1"},
                                      {"wh m-2 day-1", "W hour m-2 day-1"},
                                      {"wh m-2 d-1", "W hour m-2 day-1"}};
    static const Spellings kCloud{{"tenths", "0.1"},   {"tenth", "0.1"},  {"okta", "0.125"},
                                  {"oktas", "0.125"},  {"octa", "0.125"}, {"octas", "0.125"},
                                  {"eighths", "0.125"}};
    static const Spellings kAny{{"fraction", "1"},
                                {"pct", "percent"},
                                {"kwh m-2 day-1", "kW hour m-2 day-1"},
                                {"kwh m-2 d-1", "kW hour m-2 day-1"},
                                {"kwh/m2/day", "kW hour m-2 day-1"},
                                {"kwh/m^2/day", "kW hour m-2 day-1"},
                                {"kwh m-2", "kW hour m-2"},
                                {"kwh/m2", "kW hour m-2"}};
    const auto look_up = [&](const Spellings& spellings) -> std::string {
        for (const auto& [spelling, meaning] : spellings)
            if (spelling == lower) return std::string(meaning);
        return {};
    };
    const bool is_temperature = variable == Variable::tmax || variable == Variable::tmin ||
                                variable == Variable::tmean || variable == Variable::dew_point ||
                                variable == Variable::temperature_range;
    std::string known;
    if (is_temperature) known = look_up(kTemperature);
    if (is_wind(variable)) known = look_up(kWind);
    if (variable == Variable::radiation) known = look_up(kRadiation);
    if (variable == Variable::cloud) known = look_up(kCloud);
    if (known.empty()) known = look_up(kAny);
    return known.empty() ? text : known;
}

Unit parse(const System& system, const std::string& text) {
    return Unit(ut_parse(system.get(), text.c_str(), UT_UTF8));
}

bool same_scale(const Unit& a, const Unit& b) {
    if (!ut_are_convertible(a.get(), b.get())) return false;
    const Converter converter(ut_get_converter(a.get(), b.get()));
    if (!converter) return false;
    for (const double value : {0.0, 100.0}) {
        if (std::abs(cv_convert_double(converter.get(), value) - value) > 1e-4) return false;
    }
    return true;
}

}  // namespace

FileUnit compare_file_unit(Variable variable, std::string_view unit,
                           std::string_view unit_in_file) {
    const QuietUdunits quiet;
    const System system(ut_read_xml(nullptr));
    if (!system) return FileUnit::unreadable;
    const Unit in_file = parse(system, spelled_for_udunits(variable, trimmed(unit_in_file)));
    if (!in_file) return FileUnit::unreadable;

    Unit depth;
    if (variable == Variable::rain || variable == Variable::eto) {
        const Unit specific_volume_of_water = parse(system, "1e-3 m3 kg-1");
        depth.reset(ut_multiply(in_file.get(), specific_volume_of_water.get()));
    }
    for (const std::string& reading : udunits_readings(variable, unit)) {
        const Unit expected = parse(system, reading);
        if (!expected) continue;
        if (same_scale(in_file, expected)) return FileUnit::agrees;
        if (depth && same_scale(depth, expected)) return FileUnit::agrees;
    }
    return FileUnit::contradicts;
}

}  // namespace thirstline
