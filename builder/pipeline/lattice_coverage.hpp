// What the sources give over the lattice, at the points of the survey: for each driver and month
// whether a point has data of its own, and where it has not.
//
// Thread safety: a pure function of its arguments.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

#include "builder/pipeline/point_record.hpp"
#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// What a month of a point needs. A grid of ETo meets the last three.
enum class Need {
    temperature,  ///< Tmax and Tmin; without it and without a grid of ETo a point is left out
    rain,
    humidity,
    wind,
    radiation,  ///< or sunshine, or cloud
};
inline constexpr std::size_t kNeeds = 5;
[[nodiscard]] std::string_view need_name(Need need);

struct CoveredPlace {
    LatLon position;
    int row = 0;  ///< of the survey, 0 is the southernmost
    int column = 0;
    bool has_data = false;  ///< of any kind, from grids or stations
    /// By Need, one bit per month that is met by data of the point itself: its grids or stations
    /// within reach.
    std::array<std::uint16_t, kNeeds> months{};

    [[nodiscard]] bool has(Need need, std::size_t month) const {
        return (months[static_cast<std::size_t>(need)] >> month & 1U) != 0;
    }
    [[nodiscard]] bool has_year(Need need) const {
        return months[static_cast<std::size_t>(need)] == (1U << kMonths) - 1U;
    }
};

struct LatticeCoverage {
    std::vector<CoveredPlace> places;  ///< by row and column
    int rows = 0;
    int columns = 0;
    int places_with_data = 0;
    /// By grid of the recipe: of the places with data, those where the grid has some.
    std::vector<int> places_with_grid;
};

[[nodiscard]] LatticeCoverage lattice_coverage(const PointContext& context);

}  // namespace thirstline
