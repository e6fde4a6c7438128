// Evaluates a contractor's measurements in a zone by the methods of the industry: catch cans, a
// nozzle, a soil sample.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand/zone.hpp"

namespace thirstline {

/// Minimum number of cans in a catch-can test; the industry's audit guides require 24 (from
/// memory).
inline constexpr int kMinCatchCans = 4;

struct CatchCanTest {
    double rate_mm_per_h = 0.0;
    double lowest_quarter = 0.0;  ///< DU: mean of the lowest quarter over the mean of all, 0 to 1
};

/// Depths of at least kMinCatchCans cans, each 0 or more, not all 0, caught in `minutes` (above 0).
/// The lowest quarter is a quarter of the cans, rounded to a whole number, at least one; the audit
/// guides require a multiple of four.
[[nodiscard]] CatchCanTest catch_can_test(std::vector<double> depths_mm, double minutes);

/// Exact: one millilitre per square centimetre is 10 mm. (In US units 3.66 · ml / in² / minutes is
/// the audit guides' rate in in/h.)
[[nodiscard]] constexpr double caught_depth_mm(double ml, double can_area_cm2) {
    return 10.0 * ml / can_area_cm2;
}

/// USDA Soil Survey Manual (2017), chapter 3: the twelve classes of the triangle, by the shares of
/// sand and clay (of the fine earth, by weight); from memory. Empty if a share is negative or the
/// sum exceeds 100 %.
[[nodiscard]] std::optional<SoilTexture> soil_texture(double sand_percent, double clay_percent);

/// Exact: water held between field capacity and wilting point, percent by volume.
[[nodiscard]] constexpr double available_water_of_soil_test_mm_per_m(double field_capacity_percent,
                                                                     double wilting_point_percent) {
    return 10.0 * (field_capacity_percent - wilting_point_percent);
}

}  // namespace thirstline
