#include "builder/grids/file_units.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

struct Case {
    Variable variable;
    const char* recipe;
    const char* file;
};

TEST(FileUnits, AgreeHoweverSpelled) {
    const Case cases[] = {
        {Variable::tmax, "degC", "degC"},
        {Variable::tmax, "degC", "degrees_celsius"},
        {Variable::tmax, "degC", "degree_Celsius"},
        {Variable::tmax, "degC", "Celsius"},
        {Variable::tmax, "degC", "C"},
        {Variable::tmax, "degC", "degrees C"},
        {Variable::tmax, "degC", "°C"},
        {Variable::tmin, "degF", "degF"},
        {Variable::tmin, "degF", "fahrenheit"},
        {Variable::tmean, "K", "K"},
        {Variable::tmean, "K", "kelvin"},
        {Variable::vapour_pressure, "hPa", "hPa"},
        {Variable::vapour_pressure, "hPa", "mbar"},
        {Variable::vapour_pressure, "hPa", "millibar"},
        {Variable::vapour_pressure, "kPa", "kPa"},
        {Variable::relative_humidity, "%", "percent"},
        {Variable::relative_humidity, "%", "%"},
        {Variable::relative_humidity, "fraction", "1"},
        {Variable::wind, "m/s", "m s-1"},
        {Variable::wind, "m/s", "m/s"},
        {Variable::wind, "m/s", "meters per second"},
        {Variable::wind, "km/h", "km h-1"},
        {Variable::wind, "km/h", "km/h"},
        {Variable::wind, "knot", "kt"},
        {Variable::wind, "knot", "knots"},
        {Variable::wind, "mph", "mile/hour"},
        {Variable::wind, "mph", "mph"},
        {Variable::radiation, "W/m2", "W m-2"},
        {Variable::radiation, "W/m2", "W/m^2"},
        {Variable::radiation, "MJ/m2/day", "MJ m-2 day-1"},
        {Variable::radiation, "MJ/m2/day", "MJ m-2 d-1"},
        {Variable::radiation, "MJ/m2/day", "MJ m-2"},
        {Variable::radiation, "kWh/m2/day", "kWh m-2 day-1"},
        {Variable::radiation, "kJ/m2/day", "kJ m-2 day-1"},
        {Variable::radiation, "kJ/m2/day", "kJ m-2"},
        {Variable::radiation, "J/m2/day", "J m**-2"},
        {Variable::radiation, "J/m2/day", "J m-2 d-1"},
        {Variable::radiation, "Wh/m2/day", "W h m-2 day-1"},
        {Variable::radiation, "Wh/m2/day", "Wh/m2"},
        {Variable::radiation, "Ly/day", "Ly/day"},
        {Variable::radiation, "Ly/day", "langley day-1"},
        {Variable::sunshine_hours, "h/day", "h/day"},
        {Variable::sunshine_hours, "h/day", "hours"},
        {Variable::sunshine_hours, "h/month", "h"},
        {Variable::sunshine_hours, "h/month", "hours/month"},
        {Variable::sunshine_fraction, "fraction", "1"},
        {Variable::cloud, "%", "%"},
        {Variable::cloud, "tenths", "tenths"},
        {Variable::cloud, "oktas", "okta"},
        {Variable::temperature_range, "degC", "degrees Celsius"},
        {Variable::temperature_range, "degC", "K"},
        {Variable::temperature_range, "K", "degC"},
        {Variable::temperature_range, "degF", "degF"},
        {Variable::vapour_pressure_deficit, "kPa", "kPa"},
        {Variable::vapour_pressure, "mbar", "hPa"},
        {Variable::vapour_pressure, "mbar", "millibars"},
        {Variable::specific_humidity, "kg/kg", "kg/kg"},
        {Variable::specific_humidity, "kg/kg", "kg kg**-1"},
        {Variable::specific_humidity, "g/kg", "g kg-1"},
        {Variable::wind, "km/day", "km day-1"},
        {Variable::wind_u, "m/s", "m s**-1"},
        {Variable::wind_v, "knot", "kt"},
        {Variable::rain, "m", "m"},
        {Variable::rain, "m/day", "m"},
        {Variable::rain, "m/day", "m day-1"},
        {Variable::rain, "m/month", "m"},
        {Variable::rain, "kg/m2/s", "kg m-2 s-1"},
        {Variable::rain, "kg/m2/s", "kg m**-2 s**-1"},
        {Variable::rain, "kg/m2/s", "mm/s"},
        {Variable::rain, "mm", "mm"},
        {Variable::rain, "mm/month", "mm"},
        {Variable::rain, "mm", "mm/month"},
        {Variable::rain, "mm", "mm month-1"},
        {Variable::rain, "mm", "millimeters"},
        {Variable::rain, "mm", "millimeter"},
        {Variable::rain, "mm", "kg m-2"},
        {Variable::rain, "mm/day", "mm/day"},
        {Variable::rain, "mm/day", "mm d-1"},
        {Variable::rain, "mm/day", "kg m-2 d-1"},
        {Variable::rain, "in", "inches"},
        {Variable::rain, "in", "inch"},
        {Variable::rain_days, "day", "days"},
        {Variable::rain_days, "day", "1"},
        {Variable::rain_days, "day", "days/month"},
        {Variable::eto, "mm/day", "mm day-1"},
        {Variable::eto, "mm/month", "mm"},
        {Variable::elevation, "m", "meters"},
        {Variable::elevation, "m", "metre"},
        {Variable::elevation, "ft", "feet"},
    };
    for (const Case& each : cases) {
        EXPECT_EQ(compare_file_unit(each.variable, each.recipe, each.file), FileUnit::agrees)
            << each.recipe << " against " << each.file;
    }
}

TEST(FileUnits, ContradictWhenAnotherScaleOrQuantity) {
    const Case cases[] = {
        {Variable::tmax, "degC", "K"},
        {Variable::tmax, "degC", "degF"},
        {Variable::tmax, "K", "degC"},
        {Variable::tmax, "degC", "hPa"},
        {Variable::vapour_pressure, "kPa", "hPa"},
        {Variable::vapour_pressure, "hPa", "Pa"},
        {Variable::relative_humidity, "%", "1"},
        {Variable::relative_humidity, "fraction", "percent"},
        {Variable::wind, "m/s", "km/h"},
        {Variable::wind, "m/s", "knots"},
        {Variable::radiation, "W/m2", "MJ m-2 day-1"},
        {Variable::radiation, "MJ/m2/day", "W m-2"},
        {Variable::radiation, "MJ/m2/day", "J m-2"},
        {Variable::sunshine_hours, "h/day", "%"},
        {Variable::sunshine_hours, "h/day", "hours/month"},
        {Variable::rain, "mm", "mm/day"},
        {Variable::rain, "mm", "kg m-2 s-1"},
        {Variable::rain, "mm/day", "mm"},
        {Variable::rain, "mm/day", "mm/month"},
        {Variable::rain, "mm", "cm"},
        {Variable::rain, "in", "mm"},
        {Variable::rain, "m/day", "mm"},
        {Variable::rain, "mm/day", "m"},
        {Variable::rain, "kg/m2/s", "kg m-2"},
        {Variable::radiation, "kJ/m2/day", "MJ m-2 day-1"},
        {Variable::radiation, "Ly/day", "W m-2"},
        {Variable::specific_humidity, "g/kg", "kg kg-1"},
        {Variable::wind, "km/day", "km/h"},
        {Variable::cloud, "oktas", "tenths"},
        {Variable::temperature_range, "degC", "degF"},
        {Variable::rain_days, "day", "%"},
        {Variable::elevation, "m", "ft"},
        {Variable::elevation, "m", "km"},
    };
    for (const Case& each : cases) {
        EXPECT_EQ(compare_file_unit(each.variable, each.recipe, each.file), FileUnit::contradicts)
            << each.recipe << " against " << each.file;
    }
}

TEST(FileUnits, UnreadableWithoutMessages) {
    testing::internal::CaptureStderr();
    EXPECT_EQ(compare_file_unit(Variable::tmax, "degC", "furlongs per fortnite"),
              FileUnit::unreadable);
    EXPECT_EQ(compare_file_unit(Variable::tmax, "degC", "???"), FileUnit::unreadable);
    EXPECT_EQ(testing::internal::GetCapturedStderr(), "");
}

}  // namespace
}  // namespace thirstline
