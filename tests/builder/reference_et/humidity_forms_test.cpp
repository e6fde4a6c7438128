#include "builder/reference_et/humidity_forms.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/reference_et/temperature_extremes.hpp"

namespace thirstline {
namespace {

const double kNan = std::nan("");

// By its definition: the mass of 1 m3 of vapour at e over that of 1 m3 of moist air at p, from the
// gas law with molecular masses of 18.015 and 28.965 g/mol.
TEST(HumidityForms, SpecificHumidityIsAShareOfTheMass) {
    constexpr double kPerKpaAndMol = 1.0 / (8.314462618e-3 * 293.15);  // mol/m3 per kPa at 20 °C
    for (const double e : {0.05, 0.6, 1.8, 4.0}) {
        for (const double p : {60.0, 85.0, 101.3}) {
            const double vapour = e * kPerKpaAndMol * 18.015;
            const double dry_air = (p - e) * kPerKpaAndMol * 28.965;
            const double q = vapour / (vapour + dry_air);
            EXPECT_NEAR(vapour_pressure_from_specific_humidity_kpa(q, p), e, 1e-4 * e);
        }
    }
    EXPECT_EQ(vapour_pressure_from_specific_humidity_kpa(0.0, 101.3), 0.0);
    EXPECT_TRUE(std::isnan(vapour_pressure_from_specific_humidity_kpa(0.01, kNan)));
}

// FAO-56, examples 5 and 6: 25 and 18 °C, 54 and 82 %: ea 1.70 kPa, es − ea 0.91 kPa.
TEST(HumidityForms, WorkedExamples) {
    EXPECT_NEAR(vapour_pressure_from_deficit_kpa(25.0, 18.0, 0.91), 1.70, 0.01);
    const auto vapour_pressure = [](const RelativeForms& forms) {
        return relative_humidity_of(forms, 25.0, 18.0).percent / 100.0 *
               saturation_vapour_pressure_kpa(21.5);
    };
    EXPECT_NEAR(vapour_pressure({kNan, 82.0, 54.0, kNan, kNan, kNan}), 1.70, 0.005);
    EXPECT_NEAR(vapour_pressure({kNan, kNan, kNan, 0.91, kNan, kNan}), 1.70, 0.01);
    // The deficit at the extremes: es(25) = 3.168 and es(18) = 2.064 kPa (FAO-56, table 2.3).
    EXPECT_NEAR(vapour_pressure({kNan, kNan, kNan, kNan, 3.168 - 1.70, 2.064 - 1.70}), 1.70, 0.005);
}

TEST(HumidityForms, InTheOrderOfTrust) {
    RelativeForms forms{60.0, 80.0, 40.0, 0.9, 1.5, 0.3};
    const auto form = [&forms] { return relative_humidity_of(forms, 25.0, 15.0).form; };
    EXPECT_EQ(form(), RelativeForm::extremes);
    forms.min_percent = kNan;
    EXPECT_EQ(form(), RelativeForm::mean);
    EXPECT_EQ(relative_humidity_of(forms, 25.0, 15.0).percent, 60.0);
    forms.mean_percent = kNan;
    EXPECT_EQ(form(), RelativeForm::deficit);
    forms.deficit_kpa = kNan;
    EXPECT_EQ(form(), RelativeForm::deficit_extremes);
    forms.deficit_max_kpa = kNan;
    EXPECT_EQ(form(), RelativeForm::none);
    EXPECT_TRUE(std::isnan(relative_humidity_of(forms, 25.0, 15.0).percent));
    forms = {kNan, 80.0, 40.0, kNan, kNan, kNan};
    EXPECT_EQ(relative_humidity_of(forms, 25.0, kNan).form, RelativeForm::none);
}

TEST(TemperatureExtremes, CompletedByTheRangeOrTheMean) {
    const auto expect = [](const TemperatureExtremes& found, double tmax, double tmin, bool mean,
                           bool range) {
        EXPECT_DOUBLE_EQ(found.tmax_c, tmax);
        EXPECT_DOUBLE_EQ(found.tmin_c, tmin);
        EXPECT_EQ(found.is_mean_used, mean);
        EXPECT_EQ(found.is_range_used, range);
    };
    expect(completed_extremes(20.0, 8.0, 3.0, 3.0), 20.0, 8.0, false, false);
    expect(completed_extremes(20.0, kNan, 15.0, 12.0), 20.0, 8.0, false, true);
    expect(completed_extremes(kNan, 8.0, 15.0, 12.0), 20.0, 8.0, false, true);
    expect(completed_extremes(20.0, kNan, 15.0, kNan), 20.0, 10.0, true, false);
    expect(completed_extremes(kNan, 8.0, 15.0, kNan), 22.0, 8.0, true, false);
    expect(completed_extremes(kNan, kNan, 15.0, 12.0), 21.0, 9.0, true, true);
    const TemperatureExtremes unknown = completed_extremes(kNan, kNan, 15.0, kNan);
    EXPECT_TRUE(std::isnan(unknown.tmax_c) && std::isnan(unknown.tmin_c));
    EXPECT_FALSE(unknown.is_mean_used || unknown.is_range_used);
}

}  // namespace
}  // namespace thirstline
