#include "lookup/demand/handbook.hpp"

#include <array>
#include <cstddef>

#include "lookup/demand/exact_units.hpp"

namespace thirstline {
namespace {

constexpr Monthly<double> kCoolTurf{.61, .64, .75, 1.04, .95, .88, .94, .86, .74, .75, .69, .60};
constexpr Monthly<double> kWarmTurf{.61, .54, .76, .72, .79, .68, .71, .71, .62, .54, .58, .55};

constexpr std::size_t kTextures = 12;
constexpr std::size_t kTabulated = 7;
constexpr std::size_t kSlopeClasses = 4;
using ByTexture = std::array<double, kTabulated>;

constexpr std::array<TextKey, kTextures> kTextureNames{
    "soil.clay"_text,       "soil.silty_clay"_text,
    "soil.sandy_clay"_text, "soil.silty_clay_loam"_text,
    "soil.clay_loam"_text,  "soil.sandy_clay_loam"_text,
    "soil.silt"_text,       "soil.silt_loam"_text,
    "soil.loam"_text,       "soil.sandy_loam"_text,
    "soil.loamy_sand"_text, "soil.sand"_text};

// clay, silty clay, clay loam, loam, sandy loam, loamy sand, sand: the rows of the tables. Other
// textures use the row of the nearest finer texture.
constexpr std::array<std::size_t, kTextures> kTableRow{0, 1, 0, 1, 2, 2, 3, 3, 3, 4, 5, 6};
constexpr std::array<bool, kTextures> kHasOwnRow{true,  true,  false, false, true, false,
                                                 false, false, true,  true,  true, true};

// Ranges in inches per foot: clay 1.6–2.5 (also silty clay), clay loam 1.75–2.5, loam and silt loam
// 1.5–2.3, sandy loam 1.25–1.75, coarse to loamy sand .75–1.25 (also sand).
constexpr ByTexture kAvailableWaterInPerFt{2.05, 2.05, 2.125, 1.9, 1.5, 1.0, 1.0};
constexpr ByTexture kIntakeInPerH{.10, .15, .20, .35, .40, .50, .60};
constexpr std::array<ByTexture, kSlopeClasses> kSurfaceStorageIn{{
    {.20, .23, .26, .30, .33, .36, .40},
    {.15, .19, .22, .25, .29, .30, .35},
    {.12, .16, .18, .21, .24, .26, .30},
    {.10, .13, .15, .17, .20, .22, .25},
}};
constexpr std::array<double, kSlopeClasses - 1> kSteepestPercent{3.0, 6.0, 12.0};

std::size_t index_of(SoilTexture texture) {
    return static_cast<std::size_t>(texture);
}

std::size_t row_of(SoilTexture texture) {
    return kTableRow[index_of(texture)];
}

}  // namespace

Monthly<double> turf_coefficients(const Turf& turf) {
    const bool is_cool = turf.season == TurfSeason::cool;
    if (turf.coefficients == TurfCoefficients::california) return is_cool ? kCoolTurf : kWarmTurf;
    Monthly<double> flat{};
    flat.fill(is_cool ? 0.8 : 0.6);
    return flat;
}

TableSource turf_coefficients_source(TurfCoefficients coefficients) {
    if (coefficients == TurfCoefficients::california) {
        return {"source.meyer"_text, Basis::seen};
    }
    return {"source.s623"_text, Basis::memory};
}

double microclimate_factor(Exposure exposure) {
    switch (exposure) {
        case Exposure::average:
            return 1.0;
        case Exposure::shaded:
            return 0.7;
        case Exposure::hot:
            return 1.25;
    }
    return 1.0;
}

TextKey soil_texture_name(SoilTexture texture) {
    return kTextureNames[index_of(texture)];
}

bool is_tabulated(SoilTexture texture) {
    return kHasOwnRow[index_of(texture)];
}

double available_water_mm_per_m(SoilTexture texture) {
    return kAvailableWaterInPerFt[row_of(texture)] * kMmPerInch / kMetresPerFoot;
}

double intake_mm_per_h(SoilTexture texture) {
    return kIntakeInPerH[row_of(texture)] * kMmPerInch;
}

double surface_storage_mm(SoilTexture texture, double slope_percent) {
    std::size_t slope_class = 0;
    while (slope_class < kSteepestPercent.size() && slope_percent > kSteepestPercent[slope_class])
        ++slope_class;
    return kSurfaceStorageIn[slope_class][row_of(texture)] * kMmPerInch;
}

double root_depth_mm(bool is_turf) {
    return (is_turf ? 6.0 : 12.0) * kMmPerInch;
}

double tolerated_ec_ds_per_m(TurfSeason season) {
    return season == TurfSeason::cool ? 3.0 : 6.9;
}

TableSource tolerated_ec_source(TurfSeason season) {
    if (season == TurfSeason::warm) return {"source.fao29"_text, Basis::memory};
    return {"source.none"_text, Basis::common_practice};
}

double dormant_below_c(TurfSeason season) {
    return season == TurfSeason::cool ? 5.0 : 10.0;
}

}  // namespace thirstline
