// The tables, written out a second time in the units of print.
#include "lookup/demand/handbook.hpp"

#include <gtest/gtest.h>

#include <array>

namespace thirstline {
namespace {

constexpr std::array<SoilTexture, 7> kTextures{
    SoilTexture::clay,       SoilTexture::silty_clay, SoilTexture::clay_loam, SoilTexture::loam,
    SoilTexture::sandy_loam, SoilTexture::loamy_sand, SoilTexture::sand};

// Meyer et al. 1985, UC ANR Center for Landscape and Urban Horticulture.
TEST(Handbook, TurfCoefficientsOfCalifornia) {
    const Monthly<double> cool =
        turf_coefficients({TurfSeason::cool, TurfCoefficients::california});
    const Monthly<double> warm =
        turf_coefficients({TurfSeason::warm, TurfCoefficients::california});
    const Monthly<double> cool_printed{.61, .64, .75, 1.04, .95, .88, .94, .86, .74, .75, .69, .60};
    const Monthly<double> warm_printed{.61, .54, .76, .72, .79, .68, .71, .71, .62, .54, .58, .55};
    EXPECT_EQ(cool, cool_printed);
    EXPECT_EQ(warm, warm_printed);
}

// Plant factors of ANSI/ASABE S623, from memory.
TEST(Handbook, TurfCoefficientsElsewhere) {
    for (const double factor : turf_coefficients({TurfSeason::cool})) EXPECT_EQ(factor, 0.8);
    for (const double factor : turf_coefficients({TurfSeason::warm})) EXPECT_EQ(factor, 0.6);
}

// The irrigation industry's test protocol for climate-based controllers, from memory.
TEST(Handbook, IntakeAndSurfaceStorage) {
    constexpr std::array<double, 7> kIntakeIn{.10, .15, .20, .35, .40, .50, .60};
    constexpr std::array<std::array<double, 7>, 4> kStorageIn{
        {{.20, .23, .26, .30, .33, .36, .40},
         {.15, .19, .22, .25, .29, .30, .35},
         {.12, .16, .18, .21, .24, .26, .30},
         {.10, .13, .15, .17, .20, .22, .25}}};
    constexpr std::array<std::array<double, 2>, 4> kSlopes{{{0, 3}, {4, 6}, {7, 12}, {13, 60}}};
    for (std::size_t t = 0; t < kTextures.size(); ++t) {
        EXPECT_NEAR(intake_mm_per_h(kTextures[t]) / 25.4, kIntakeIn[t], 1e-12);
        for (std::size_t s = 0; s < kSlopes.size(); ++s) {
            for (const double slope : kSlopes[s]) {
                EXPECT_NEAR(surface_storage_mm(kTextures[t], slope) / 25.4, kStorageIn[s][t], 1e-12)
                    << english(soil_texture_name(kTextures[t])) << ' ' << slope;
            }
        }
    }
    // Between two classes the steeper one counts.
    EXPECT_EQ(surface_storage_mm(SoilTexture::loam, 3.5),
              surface_storage_mm(SoilTexture::loam, 5.0));
}

// University of California drought pages, inches a foot.
TEST(Handbook, AvailableWaterIsWithinThePublishedRanges) {
    constexpr std::array<std::array<double, 2>, 7> kRangesInPerFt{
        {{1.6, 2.5}, {1.6, 2.5}, {1.75, 2.5}, {1.5, 2.3}, {1.25, 1.75}, {.75, 1.25}, {.75, 1.25}}};
    for (std::size_t t = 0; t < kTextures.size(); ++t) {
        const double in_per_ft = available_water_mm_per_m(kTextures[t]) * 0.3048 / 25.4;
        EXPECT_NEAR(in_per_ft, (kRangesInPerFt[t][0] + kRangesInPerFt[t][1]) / 2.0, 1e-12);
    }
}

TEST(Handbook, TexturesBetweenTakeTheNearestFinerRow) {
    EXPECT_FALSE(is_tabulated(SoilTexture::silt_loam));
    EXPECT_TRUE(is_tabulated(SoilTexture::loam));
    EXPECT_EQ(english(soil_texture_name(SoilTexture::silt_loam)), "silt loam");
    // Loam and silt loam share a published range of available water, 1.5 to 2.3 in/ft.
    EXPECT_EQ(available_water_mm_per_m(SoilTexture::silt_loam),
              available_water_mm_per_m(SoilTexture::loam));
    EXPECT_EQ(intake_mm_per_h(SoilTexture::sandy_clay), intake_mm_per_h(SoilTexture::clay));
}

// kmc 0.5 to 1.4, average 1: University of California Cooperative Extension, from memory.
TEST(Handbook, MicroclimateFactorsAreInTheirRange) {
    EXPECT_EQ(microclimate_factor(Exposure::average), 1.0);
    EXPECT_GE(microclimate_factor(Exposure::shaded), 0.5);
    EXPECT_LT(microclimate_factor(Exposure::shaded), 1.0);
    EXPECT_LE(microclimate_factor(Exposure::hot), 1.4);
    EXPECT_GT(microclimate_factor(Exposure::hot), 1.0);
}

}  // namespace
}  // namespace thirstline
