// Everything that is stored of one point, computed from what the grids and stations say there.
#pragma once

#include <cstdint>
#include <optional>

#include "builder/background/point_assembly.hpp"
#include "builder/background/survey.hpp"
#include "builder/fusion/eto_stations.hpp"
#include "builder/fusion/fusion.hpp"
#include "builder/recipe/recipe.hpp"

namespace thirstline {

/// What all points of a build have in common; everything outlives the use.
struct PointContext {
    const Recipe& recipe;
    const Survey& survey;
    const Fusion& fusion;
    const EtoStations& eto_stations;
};

struct PointRecord {
    AssembledPoint assembled;  ///< what the grids gave, and what of it was refused
    Monthly<double> eto_mm_per_day = kUnknownYear;
    Monthly<double> eto_se_mm_per_day = kUnknownYear;
    Monthly<double> rain_mm = kUnknownYear;
    Monthly<double> rain_se_mm = kUnknownYear;
    Monthly<double> tmax_c = kUnknownYear;
    Monthly<double> tmin_c = kUnknownYear;
    Monthly<std::uint16_t> method{};
    /// The method as it would be from the grids alone: it tells which of their variables count.
    Monthly<std::uint16_t> method_of_grids{};
    double elevation_m = kUnknown;
    bool is_of_stations_period = false;

    /// A point without ETo in every month is no point of a file.
    [[nodiscard]] bool is_complete() const { return all_known(eto_mm_per_day); }
    /// Was there anything to compute from?
    [[nodiscard]] bool has_temperature() const;
};

/// `elevation_m` as a rule is the place's own. With `left_out` the stations near a position say
/// nothing.
[[nodiscard]] PointRecord point_record(LatLon position, const PlaceInputs& place,
                                       double elevation_m, const MonthlySun& sun,
                                       const PointContext& context,
                                       const std::optional<LeftOut>& left_out = std::nullopt);

/// Change with elevation of what a look-up carries to a site: from the records 400 m above and
/// below.
struct RecordGradients {
    Monthly<double> eto_mm_per_day_per_km = kUnknownYear;
    Monthly<double> rain_share_per_km = kUnknownYear;  ///< of the rain at the point
    Monthly<double> tmax_c_per_km = kUnknownYear;
    Monthly<double> tmin_c_per_km = kUnknownYear;
};

/// The site correction starts abruptly at 5 °C; a step between the two elevations is no gradient,
/// so the uncorrected ETo's change is taken, in proportion.
[[nodiscard]] RecordGradients record_gradients(
    LatLon position, const PlaceInputs& place, const MonthlySun& sun, const PointContext& context,
    const PointRecord& at_place, const std::optional<LeftOut>& left_out = std::nullopt);

}  // namespace thirstline
