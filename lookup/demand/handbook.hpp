// The tables of the trade that stand in for what a zone's owner does not know, in SI, each with its
// source and standing. All are defaults to overrule.
#pragma once

#include <string_view>

#include "lookup/demand/assumption.hpp"
#include "lookup/demand/zone.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// Where a table comes from.
struct TableSource {
    std::string_view source;
    Standing standing;
};

/// Coefficient on ETo for turf. By month: Meyer et al. 1985, UC ANR Center for Landscape and Urban
/// Horticulture, for California. Flat: 0.8 cool, 0.6 warm season, plant factors of ANSI/ASABE S623.
[[nodiscard]] Monthly<double> turf_coefficients(const Turf& turf);
[[nodiscard]] TableSource turf_coefficients_source(TurfCoefficients coefficients);

/// kmc for an exposure: 1 average; 0.7 shaded and 1.25 hot, the middles of the lower and the upper
/// part of its range 0.5 to 1.4.
[[nodiscard]] double microclimate_factor(Exposure exposure);
inline constexpr TableSource kLandscapeFactorSource{
    "University of California Cooperative Extension and Department of Water Resources, 2000",
    Standing::memory};

/// "clay loam"
[[nodiscard]] std::string_view soil_texture_name(SoilTexture texture);

/// Middle of the published range, mm of water in a metre of soil.
[[nodiscard]] double available_water_mm_per_m(SoilTexture texture);
inline constexpr TableSource kAvailableWaterSource{
    "University of California drought pages, middle of the range", Standing::seen};

/// Steady intake, and what stands on the surface before it runs off. A slope between two classes
/// (3.5 %) counts as the steeper one.
[[nodiscard]] double intake_mm_per_h(SoilTexture texture);
[[nodiscard]] double surface_storage_mm(SoilTexture texture, double slope_percent);
inline constexpr TableSource kIntakeSource{"test protocol of an irrigation trade body",
                                           Standing::memory};

/// Turf 6 in; else 12 in, the shallow end of shrubs.
[[nodiscard]] double root_depth_mm(bool is_turf);
inline constexpr double kAllowedDepletion = 0.5;
inline constexpr TableSource kRootSource{"handbook of the trade", Standing::memory};

inline constexpr double kOverheadEfficiency = 0.75;
inline constexpr double kDripEfficiency = 0.81;
inline constexpr TableSource kEfficiencySource{
    "a county's copy of California's model landscape ordinance", Standing::seen};

/// ECe that turf bears, dS/m: warm season 6.9 (bermuda), cool season 3 (Kentucky bluegrass, the
/// least tolerant).
[[nodiscard]] double tolerated_ec_ds_per_m(TurfSeason season);
inline constexpr TableSource kSalinitySource{"FAO Irrigation and Drainage Paper 29",
                                             Standing::memory};

/// Mean temperature below which turf is dormant: cool season 5 °C, warm season 10 °C.
[[nodiscard]] double dormant_below_c(TurfSeason season);
inline constexpr TableSource kDormancySource{"handbook of the trade", Standing::memory};

}  // namespace thirstline
