// All stored values of one point, computed from the grids and stations there.
#pragma once

#include <cstdint>
#include <optional>

#include "builder/background/point_assembly.hpp"
#include "builder/background/survey.hpp"
#include "builder/fusion/eto_stations.hpp"
#include "builder/fusion/fusion.hpp"
#include "builder/fusion/year_fields.hpp"
#include "builder/recipe/recipe.hpp"

namespace thirstline {

/// Data common to all points of a build; everything must outlive the use.
struct PointContext {
    const Recipe& recipe;
    const Survey& survey;
    const Fusion& fusion;
    const EtoStations& eto_stations;
    const YearFields* years = nullptr;  ///< null: not wanted
};

struct PointRecord {
    AssembledPoint assembled;  ///< the values of the grids, and those that were rejected
    Monthly<double> eto_mm_per_day = kUnknownYear;
    Monthly<double> eto_se_mm_per_day = kUnknownYear;
    Monthly<double> rain_mm = kUnknownYear;
    Monthly<double> rain_se_mm = kUnknownYear;
    Monthly<double> tmax_c = kUnknownYear;
    Monthly<double> tmin_c = kUnknownYear;
    Monthly<std::uint16_t> method{};
    /// The method from the grids alone: it determines which of their variables are counted.
    Monthly<std::uint16_t> method_of_grids{};
    double elevation_m = kUnknown;
    bool is_of_stations_period = false;
    std::optional<SlopesOfPlace> years;

    /// A point without ETo in every month is not stored in a file.
    [[nodiscard]] bool is_complete() const { return all_known(eto_mm_per_day); }
    /// Whether there was any input for the computation.
    [[nodiscard]] bool has_temperature() const;
};

/// `elevation_m` is usually the place's own. With `left_out` the stations near a position are not
/// used.
[[nodiscard]] PointRecord point_record(LatLon position, const PlaceInputs& place,
                                       double elevation_m, const MonthlySun& sun,
                                       const PointContext& context,
                                       const std::optional<LeftOut>& left_out = std::nullopt);

/// Change with elevation of the values that a look-up adjusts to a site: from the records 400 m
/// above and below.
struct RecordGradients {
    Monthly<double> eto_mm_per_day_per_km = kUnknownYear;
    Monthly<double> rain_share_per_km = kUnknownYear;  ///< of the rain at the point
    Monthly<double> tmax_c_per_km = kUnknownYear;
    Monthly<double> tmin_c_per_km = kUnknownYear;
};

/// The site correction starts abruptly at 5 °C. A step between the two elevations is not a
/// gradient, so the uncorrected ETo's change is used, in proportion.
[[nodiscard]] RecordGradients record_gradients(
    LatLon position, const PlaceInputs& place, const MonthlySun& sun, const PointContext& context,
    const PointRecord& at_place, const std::optional<LeftOut>& left_out = std::nullopt);

}  // namespace thirstline
