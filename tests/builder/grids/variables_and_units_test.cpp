#include "builder/grids/variables_and_units.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "builder/grids/plausible_values.hpp"
#include "tests/support/sample_months.hpp"

namespace thirstline {
namespace {

constexpr int kFebruary = 1;

double canonical(Variable variable, const char* unit, double value, int month = kJanuary) {
    const Result<UnitConversion> conversion = unit_conversion(variable, unit);
    if (!conversion) {
        ADD_FAILURE() << conversion.error().message;
        return std::numeric_limits<double>::quiet_NaN();
    }
    return conversion->canonical(value, month);
}

TEST(VariablesAndUnits, NamesGoBothWays) {
    ASSERT_EQ(all_variables().size(), static_cast<std::size_t>(kVariables));
    for (const Variable variable : all_variables()) {
        EXPECT_EQ(variable_by_name(variable_name(variable)), variable);
    }
    EXPECT_EQ(variable_name(Variable::sunshine_fraction), "sunshine_fraction");
    EXPECT_EQ(variable_name(Variable::elevation), "elevation");
    EXPECT_EQ(variable_by_name("Tmax"), std::nullopt);
}

TEST(Units, CanonicalUnitChangesNothing) {
    for (const Variable variable : all_variables()) {
        const Result<UnitConversion> conversion =
            unit_conversion(variable, canonical_unit(variable));
        ASSERT_TRUE(conversion) << variable_name(variable);
        for (int month = 0; month < kMonths; ++month) {
            EXPECT_EQ(conversion->canonical(7.25, month), 7.25) << variable_name(variable);
        }
    }
}

// Fixed points of the temperature scales; the other factors are exact by definition (SI Brochure,
// 9th edition, and the international foot, mile, nautical mile and inch).
TEST(Units, MatchesValuesComputedByHand) {
    EXPECT_NEAR(canonical(Variable::tmax, "degF", 212.0), 100.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::tmin, "degF", -40.0), -40.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::tmean, "K", 273.15), 0.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::dew_point, "degF", 32.0), 0.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::vapour_pressure, "hPa", 23.4), 2.34, 1e-12);
    EXPECT_NEAR(canonical(Variable::vapour_pressure, "Pa", 2340.0), 2.34, 1e-12);
    EXPECT_NEAR(canonical(Variable::relative_humidity, "fraction", 0.55), 55.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::wind, "km/h", 36.0), 10.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::wind, "mph", 10.0), 4.4704, 1e-12);
    EXPECT_NEAR(canonical(Variable::wind, "knot", 9.0), 4.63, 1e-12);
    EXPECT_NEAR(canonical(Variable::radiation, "W/m2", 250.0), 21.6, 1e-12);
    EXPECT_NEAR(canonical(Variable::radiation, "kWh/m2/day", 6.0), 21.6, 1e-12);
    EXPECT_NEAR(canonical(Variable::sunshine_hours, "h", 248.0), 8.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::sunshine_hours, "h/month", 240.0, kApril), 8.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::sunshine_hours, "h/month", 226.0, kFebruary), 8.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::sunshine_fraction, "%", 65.0), 0.65, 1e-12);
    EXPECT_NEAR(canonical(Variable::cloud, "%", 40.0), 0.4, 1e-12);
    EXPECT_NEAR(canonical(Variable::rain, "in", 4.0), 101.6, 1e-12);
    EXPECT_NEAR(canonical(Variable::rain, "mm/day", 2.0), 62.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::rain, "mm/day", 2.0, kFebruary), 56.5, 1e-12);
    EXPECT_NEAR(canonical(Variable::rain, "mm/month", 62.0, kFebruary), 62.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::eto, "mm", 155.0), 5.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::eto, "mm/month", 150.0, kApril), 5.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::eto, "in", 6.0, kApril), 5.08, 1e-12);
    EXPECT_NEAR(canonical(Variable::elevation, "ft", 1000.0), 304.8, 1e-12);
    EXPECT_NEAR(canonical(Variable::temperature_range, "degF", 18.0), 10.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::temperature_range, "K", 10.0), 10.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::vapour_pressure_deficit, "mbar", 12.5), 1.25, 1e-12);
    EXPECT_NEAR(canonical(Variable::vapour_pressure_deficit_max, "hPa", 12.5), 1.25, 1e-12);
    EXPECT_NEAR(canonical(Variable::specific_humidity, "g/kg", 8.0), 0.008, 1e-15);
    EXPECT_NEAR(canonical(Variable::relative_humidity_min, "fraction", 0.35), 35.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::wind, "km/day", 172.8), 2.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::wind_u, "knot", -9.0), -4.63, 1e-12);
    EXPECT_NEAR(canonical(Variable::rain, "m", 0.12), 120.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::rain, "m/month", 0.12, kFebruary), 120.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::rain, "m/day", 0.002), 62.0, 1e-12);
    EXPECT_NEAR(canonical(Variable::rain, "m/day", 0.002, kFebruary), 56.5, 1e-12);
    EXPECT_NEAR(canonical(Variable::rain, "kg/m2/s", 1e-5, kApril), 25.92, 1e-12);
    EXPECT_NEAR(canonical(Variable::cloud, "tenths", 6.5), 0.65, 1e-12);
    EXPECT_NEAR(canonical(Variable::cloud, "oktas", 6.0), 0.75, 1e-12);
}

// FAO-56, table 3: 1 MJ m-2 day-1 is 23.9 cal cm-2 day-1 and 11.6 W m-2; 1 cal cm-2 day-1 is
// 4.1868e-2 there, of the international calorie; the langley is of the thermochemical one, 4.184 J.
TEST(Units, RadiationOfTheDay) {
    EXPECT_NEAR(canonical(Variable::radiation, "kJ/m2/day", 21600.0), 21.6, 1e-12);
    EXPECT_NEAR(canonical(Variable::radiation, "J/m2/day", 2.16e7), 21.6, 1e-12);
    EXPECT_NEAR(canonical(Variable::radiation, "Wh/m2/day", 6000.0), 21.6, 1e-12);
    EXPECT_NEAR(canonical(Variable::radiation, "Ly/day", 500.0), 20.92, 1e-12);
    EXPECT_NEAR(canonical(Variable::radiation, "Ly/day", 23.9), 1.0, 1e-3);
}

TEST(VariablesAndUnits, PartnersGoBothWays) {
    int pairs = 0;
    for (const Variable variable : all_variables()) {
        const std::optional<Variable> partner = counterpart_of(variable);
        if (!partner) continue;
        EXPECT_NE(*partner, variable);
        EXPECT_EQ(counterpart_of(*partner), variable);
        ++pairs;
    }
    EXPECT_EQ(pairs, 6);
}

TEST(Units, UnknownOnesNameTheNearestThatFits) {
    const auto message = [](Variable variable, const char* unit) {
        const Result<UnitConversion> conversion = unit_conversion(variable, unit);
        EXPECT_FALSE(conversion) << unit;
        if (conversion) return std::string();
        EXPECT_EQ(conversion.error().code, ErrorCode::bad_input);
        return conversion.error().message;
    };
    EXPECT_NE(message(Variable::tmax, "C").find("\"degC\""), std::string::npos);
    EXPECT_NE(message(Variable::tmax, "celsius").find("\"degC\""), std::string::npos);
    EXPECT_NE(message(Variable::tmax, "DegF").find("\"degF\""), std::string::npos);
    EXPECT_NE(message(Variable::wind, "m s-1").find("\"m/s\""), std::string::npos);
    EXPECT_NE(message(Variable::rain, "mm/d").find("\"mm/day\""), std::string::npos);
    EXPECT_NE(message(Variable::radiation, "MJ/m2").find("\"MJ/m2/day\""), std::string::npos);
    EXPECT_NE(message(Variable::rain, "kg m-2 s-1").find("\"kg/m2/s\""), std::string::npos);
    EXPECT_NE(message(Variable::radiation, "W h/m2/day").find("\"Wh/m2/day\""), std::string::npos);
    EXPECT_NE(message(Variable::vapour_pressure, "millibar").find("\"mbar\""), std::string::npos);
    EXPECT_NE(message(Variable::rain, "degC").find("rain"), std::string::npos)
        << "a unit of another variable";
    EXPECT_NE(message(Variable::tmax, "").find("tmax"), std::string::npos);
}

TEST(PlausibleValues, RulesAndBounds) {
    EXPECT_EQ(rejection_of(Variable::tmax, 60.0), std::nullopt);
    EXPECT_EQ(rejection_of(Variable::tmax, 60.01), RejectionRule::outside_plausible_range);
    EXPECT_EQ(rejection_of(Variable::tmax, -80.01), RejectionRule::outside_plausible_range);
    EXPECT_EQ(rejection_of(Variable::wind, -0.1), RejectionRule::negative_wind);
    EXPECT_EQ(rejection_of(Variable::wind, 30.5), RejectionRule::outside_plausible_range);
    EXPECT_EQ(rejection_of(Variable::rain, -0.1), RejectionRule::negative_rain);
    EXPECT_EQ(rejection_of(Variable::rain, 0.0), std::nullopt);
    EXPECT_EQ(rejection_of(Variable::relative_humidity, 105.1),
              RejectionRule::humidity_over_saturation);
    EXPECT_EQ(rejection_of(Variable::relative_humidity, 0.5),
              RejectionRule::outside_plausible_range);
    EXPECT_EQ(rejection_of(Variable::tmin, std::numeric_limits<double>::infinity()),
              RejectionRule::outside_plausible_range);
    EXPECT_EQ(clamped_to_range(Variable::relative_humidity, 103.0), 100.0);
    EXPECT_EQ(clamped_to_range(Variable::relative_humidity, 99.5), 99.5);
    EXPECT_EQ(clamped_to_range(Variable::cloud, 1.02), 1.0);
    EXPECT_EQ(rejection_of(Variable::wind_u, -12.0), std::nullopt);
    EXPECT_EQ(rejection_of(Variable::wind_v, -30.5), RejectionRule::outside_plausible_range);
    EXPECT_EQ(rejection_of(Variable::relative_humidity_max, 105.1),
              RejectionRule::humidity_over_saturation);
    EXPECT_EQ(rejection_of(Variable::specific_humidity, 0.0401),
              RejectionRule::outside_plausible_range);
    EXPECT_EQ(rejection_of(Variable::temperature_range, -0.1),
              RejectionRule::outside_plausible_range);
    for (const Variable variable : all_variables()) {
        const PlausibleRange& range = plausible_range(variable);
        EXPECT_LT(range.least, range.greatest);
        EXPECT_LE(range.max_used, range.greatest);
        EXPECT_FALSE(range.because.empty());
    }
}

}  // namespace
}  // namespace thirstline
