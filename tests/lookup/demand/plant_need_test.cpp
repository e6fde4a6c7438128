#include "lookup/demand/plant_need.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

double july(const Planting& planting, std::optional<Exposure> exposure = std::nullopt) {
    return plant_coefficients(planting, exposure)[6];
}

// KL = ks · kd · kmc: University of California method.
TEST(PlantNeed, LandscapeCoefficientIsAProduct) {
    EXPECT_DOUBLE_EQ(july(LandscapeCoefficient{0.5, 1.2, 1.3}), 0.5 * 1.2 * 1.3);
    EXPECT_DOUBLE_EQ(july(LandscapeCoefficient{0.5}), 0.5);
    EXPECT_DOUBLE_EQ(july(LandscapeCoefficient{0.5}, Exposure::hot), 0.5 * 1.25);
    EXPECT_DOUBLE_EQ(july(LandscapeCoefficient{0.5, std::nullopt, 1.1}), 0.55);
}

TEST(PlantNeed, APlantFactorIsWholeInItself) {
    for (const Exposure exposure : {Exposure::shaded, Exposure::hot}) {
        EXPECT_EQ(july(PlantFactor{0.5}, exposure), 0.5);
    }
}

// Turf in the shade of trees: the range of kmc, our own rule for turf.
TEST(PlantNeed, TurfTakesTheMicroclimateOfItsPlace) {
    EXPECT_DOUBLE_EQ(july(Turf{TurfSeason::cool}, Exposure::shaded), 0.8 * 0.7);
    EXPECT_DOUBLE_EQ(july(Turf{TurfSeason::warm}, Exposure::hot), 0.6 * 1.25);
    EXPECT_DOUBLE_EQ(july(Turf{TurfSeason::cool, TurfCoefficients::flat, 0.9}), 0.8 * 0.9);
}

TEST(PlantNeed, ACropCoefficientGoesByMonth) {
    CropCoefficient crop;
    for (std::size_t m = 0; m < kMonths; ++m) crop.by_month[m] = 0.1 * static_cast<double>(m);
    EXPECT_EQ(plant_coefficients(crop, std::nullopt), crop.by_month);
}

// Cool-season turf below 5 °C, warm-season below 10 °C: from memory.
TEST(PlantNeed, DormancyByMeanTemperature) {
    EXPECT_TRUE(is_dormant(Turf{TurfSeason::cool}, 4.9));
    EXPECT_FALSE(is_dormant(Turf{TurfSeason::cool}, 5.0));
    EXPECT_TRUE(is_dormant(Turf{TurfSeason::warm}, 9.9));
    EXPECT_FALSE(is_dormant(Turf{TurfSeason::warm}, 10.0));
    EXPECT_FALSE(is_dormant(PlantFactor{0.5}, 0.1));
    EXPECT_TRUE(is_dormant(PlantFactor{0.5}, -0.1));
    EXPECT_FALSE(is_dormant(Turf{}, std::nullopt));
}

}  // namespace
}  // namespace thirstline
