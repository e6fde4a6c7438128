// Mistakes of a whole source, planted one at a time into a plausible pair of sources. The expected
// factors are those of the units (25.4 mm an inch, 30.44 days a month) and of common file scales.
#include "builder/background/source_comparison.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::SeededRandom;

constexpr double kUnknownMonth = std::numeric_limits<double>::quiet_NaN();

double season(std::size_t month) {
    return std::sin((static_cast<double>(month) - 3.0) * 3.14159265358979 / 6.0);
}

/// Thirty places with the differences that sound sources have: rain by a third, 2 °C.
std::vector<ComparedYears> sound_places(Variable variable, std::size_t count = 30) {
    SeededRandom random(17);
    std::vector<ComparedYears> places(count);
    for (ComparedYears& place : places) {
        const double wetness = std::exp(0.8 * random.normal());
        const double warmth = 12.0 + 6.0 * random.normal();
        for (std::size_t month = 0; month < kMonths; ++month) {
            if (variable == Variable::tmax) {
                place.other[month] = warmth + 10.0 * season(month);
                place.own[month] = place.other[month] + 2.0 * random.normal();
            } else {
                place.other[month] = wetness * (70.0 + 50.0 * season(month));
                place.own[month] = place.other[month] * std::exp(0.3 * random.normal());
            }
        }
    }
    return places;
}

std::vector<ComparedYears> with_fault(std::vector<ComparedYears> places,
                                      const std::function<double(double)>& fault) {
    for (ComparedYears& place : places)
        for (double& value : place.own) value = fault(value);
    return places;
}

TEST(SourceComparison, AcceptsSoundSources) {
    EXPECT_FALSE(mismatch_of(Variable::rain, "mm", sound_places(Variable::rain)));
    EXPECT_FALSE(mismatch_of(Variable::tmax, "degC", sound_places(Variable::tmax)));
    EXPECT_FALSE(mismatch_of(Variable::rain, "mm", {}));
    // Twice as much everywhere is a poor source, and not a wrong unit.
    EXPECT_FALSE(
        mismatch_of(Variable::rain, "mm",
                    with_fault(sound_places(Variable::rain), [](double mm) { return 2.0 * mm; })));
}

TEST(SourceComparison, NamesTheFactorAndTheKeys) {
    const struct {
        double factor;
        const char* unit;
        const char* cause;
        const char* new_unit;
        double scale;
    } faults[] = {{10.0, "mm", "tenths", "", 0.1},
                  {100.0, "in", "hundredths", "", 0.01},
                  {0.1, "mm", "ten times", "", 10.0},
                  {25.4, "in", "not inches", "mm", 1.0},
                  {1.0 / 25.4, "mm", "in inches", "in", 1.0},
                  {100.0 / 25.4, "mm", "hundredths of an inch", "in", 0.01},
                  {30.44, "mm/day", "totals of the month", "mm/month", 1.0},
                  {1.0 / 30.44, "mm", "means of a day", "mm/day", 1.0}};
    for (const auto& fault : faults) {
        for (const std::size_t count : {4U, 30U}) {
            const auto found =
                mismatch_of(Variable::rain, fault.unit,
                            with_fault(sound_places(Variable::rain, count),
                                       [&](double mm) { return fault.factor * mm; }));
            ASSERT_TRUE(found) << fault.factor << " at " << count;
            EXPECT_NE(found->cause.find(fault.cause), std::string::npos)
                << fault.factor << ": " << found->cause;
            EXPECT_EQ(found->remedy.unit, fault.new_unit);
            EXPECT_EQ(found->remedy.scale, fault.scale);
            EXPECT_EQ(found->places, count);
        }
    }
}

TEST(SourceComparison, RefusesAnyFactorBeyondThreeAtManyPlaces) {
    const auto five = [](double mm) { return 5.0 * mm; };
    const auto found =
        mismatch_of(Variable::rain, "mm", with_fault(sound_places(Variable::rain), five));
    ASSERT_TRUE(found);
    EXPECT_TRUE(found->cause.empty());
    EXPECT_FALSE(
        mismatch_of(Variable::rain, "mm", with_fault(sound_places(Variable::rain, 5), five)));
}

TEST(SourceComparison, RecognisesTemperatureUnits) {
    const struct {
        std::function<double(double)> fault;
        const char* unit;
        double scale;
    } faults[] = {{[](double c) { return 1.8 * c + 32.0; }, "degF", 1.0},
                  {[](double c) { return (c - 32.0) / 1.8; }, "degC", 1.0},
                  {[](double c) { return 10.0 * c; }, "", 0.1},
                  {[](double c) { return c + 273.15; }, "K", 1.0}};
    for (const auto& fault : faults) {
        const auto found = mismatch_of(Variable::tmax, "degC",
                                       with_fault(sound_places(Variable::tmax), fault.fault));
        ASSERT_TRUE(found);
        EXPECT_EQ(found->remedy.unit, fault.unit);
        EXPECT_EQ(found->remedy.scale, fault.scale);
    }
}

TEST(SourceComparison, FindsOneWrongMonthAndAWrongOrder) {
    std::vector<ComparedYears> places = sound_places(Variable::rain);
    for (ComparedYears& place : places) place.own[6] *= 10.0;
    const auto month = mismatch_of(Variable::rain, "mm", places);
    ASSERT_TRUE(month);
    EXPECT_NE(month->finding.find("July"), std::string::npos) << month->finding;
    for (const Variable variable : {Variable::rain, Variable::tmax}) {
        places = sound_places(variable);
        for (ComparedYears& place : places)
            std::rotate(place.own.begin(), place.own.begin() + 6, place.own.end());
        const auto order = mismatch_of(variable, "", places);
        ASSERT_TRUE(order) << variable_name(variable);
        EXPECT_NE(order->cause.find("begin with July"), std::string::npos) << order->cause;
        for (ComparedYears& place : places)
            std::rotate(place.own.begin(), place.own.begin() + 3, place.own.end());
        const auto october = mismatch_of(variable, "", places);
        ASSERT_TRUE(october) << variable_name(variable);
        EXPECT_NE(october->cause.find("begin with October"), std::string::npos) << october->cause;
    }
}

TEST(SourceComparison, PassesOverUnknownMonthsAndDryOnes) {
    std::vector<ComparedYears> places =
        with_fault(sound_places(Variable::rain), [](double mm) { return 10.0 * mm; });
    for (ComparedYears& place : places) {
        place.own[0] = kUnknownMonth;
        place.other[1] = kUnknownMonth;
    }
    EXPECT_TRUE(mismatch_of(Variable::rain, "mm", places));
    std::vector<ComparedYears> dry = sound_places(Variable::rain);
    for (ComparedYears& place : dry) {
        place.own.fill(5.0);
        place.other.fill(1.0);
    }
    EXPECT_FALSE(mismatch_of(Variable::rain, "mm", dry)) << "dry months say nothing of a scale";
}

// The rainiest places known have some 11.9 m a year (Mawsynram, Cherrapunji; from memory).
TEST(SourceComparison, KnowsWhatRainIsImpossible) {
    Monthly<double> rainiest{};
    rainiest.fill(990.0);
    EXPECT_FALSE(has_impossible_rain(std::vector<Monthly<double>>(40, rainiest)));
    Monthly<double> too_much{};
    too_much.fill(1500.0);
    EXPECT_TRUE(has_impossible_rain(std::vector<Monthly<double>>(40, too_much)));
    EXPECT_FALSE(has_impossible_rain(std::vector<Monthly<double>>(5, too_much)));
}

}  // namespace
}  // namespace thirstline
