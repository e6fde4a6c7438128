// Default tables for what the owner of a zone does not know, in SI, each with its source and basis.
// Every default can be overridden.
#pragma once

#include <string_view>

#include "lookup/demand/assumption.hpp"
#include "lookup/demand/zone.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// Source of a table.
struct TableSource {
    TextKey source;
    Basis basis;
};

/// Coefficient on ETo for turf. By month: Meyer et al. 1985, UC ANR Center for Landscape and Urban
/// Horticulture, for California. Flat: 0.8 cool, 0.6 warm season, plant factors of ANSI/ASABE S623.
[[nodiscard]] Monthly<double> turf_coefficients(const Turf& turf);
[[nodiscard]] TableSource turf_coefficients_source(TurfCoefficients coefficients);

/// kmc for an exposure: 1 for average; 0.7 for shaded and 1.25 for hot, the middles of the lower
/// and the upper part of the range 0.5 to 1.4.
[[nodiscard]] double microclimate_factor(Exposure exposure);
inline constexpr TableSource kLandscapeFactorSource{"source.wucols_guide"_text, Basis::memory};

/// "clay loam"
[[nodiscard]] TextKey soil_texture_name(SoilTexture texture);
/// False for the five textures that are not in the tables: they use the row of the nearest finer
/// texture.
[[nodiscard]] bool is_tabulated(SoilTexture texture);

/// Middle of the published range, mm of water per metre of soil.
[[nodiscard]] double available_water_mm_per_m(SoilTexture texture);
inline constexpr TableSource kAvailableWaterSource{"source.available_water"_text, Basis::seen};

/// Basic intake rate, and surface storage before run-off. A slope between two classes (3.5 %)
/// belongs to the steeper class.
[[nodiscard]] double intake_mm_per_h(SoilTexture texture);
[[nodiscard]] double surface_storage_mm(SoilTexture texture, double slope_percent);
inline constexpr TableSource kIntakeSource{"source.intake"_text, Basis::memory};

/// Turf 6 in; other plants 12 in, the shallow end of the range for shrubs.
[[nodiscard]] double root_depth_mm(bool is_turf);
inline constexpr double kAllowedDepletion = 0.5;
inline constexpr TableSource kRootSource{"source.none"_text, Basis::common_practice};

inline constexpr double kOverheadEfficiency = 0.75;
inline constexpr double kDripEfficiency = 0.81;
inline constexpr TableSource kEfficiencySource{"source.mwelo"_text, Basis::seen};

/// ECe that turf tolerates, dS/m: warm season 6.9 (bermuda), cool season 3 (Kentucky bluegrass, the
/// least tolerant; common practice, not in FAO-29 as far as remembered).
[[nodiscard]] double tolerated_ec_ds_per_m(TurfSeason season);
[[nodiscard]] TableSource tolerated_ec_source(TurfSeason season);
inline constexpr TableSource kSalinitySource{"source.fao29"_text, Basis::memory};

/// Mean temperature below which turf is dormant: cool season 5 °C, warm season 10 °C.
[[nodiscard]] double dormant_below_c(TurfSeason season);
inline constexpr TableSource kDormancySource{"source.none"_text, Basis::common_practice};

}  // namespace thirstline
