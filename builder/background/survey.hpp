// A survey of the whole lattice before the blocks are processed: the climate at about two thousand
// of its points, spread evenly. From it every point that lacks a driver gets the values nearby; and
// the poles, where all meridians meet, get their single value.
//
// The survey depends only on the recipe, not on the rows that a build writes, so that shards agree.
//
// Thread safety: `make` belongs to the reader thread; a survey is immutable after construction.
#pragma once

#include <optional>
#include <vector>

#include "builder/background/nearby_values.hpp"
#include "builder/background/point_assembly.hpp"
#include "builder/background/source_grids.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// The values of the grids at a place, with the place's elevation.
struct PlaceInputs {
    std::vector<GridAtPlace> grids;
    double elevation_m = kUnknown;
    bool inland = false;
    double land_share = 1.0;  ///< land_share.hpp; 1 if it is inland or unknown
};

/// The values of the grids at scattered places. Errors: those of reading the grids.
[[nodiscard]] Result<std::vector<PlaceInputs>> inputs_at(
    SourceGrids& sources, const std::vector<LatLon>& positions,
    Coverage coverage = Coverage::containing_cell);

/// The points that were surveyed, row by row from the south.
struct SurveyedPlaces {
    int rows = 0;
    int columns = 0;
    std::vector<LatLon> positions;
    std::vector<PlaceInputs> inputs;
};

class Survey {
  public:
    /// Errors: those of reading the grids.
    [[nodiscard]] static Result<Survey> make(const Recipe& recipe, SourceGrids& sources);

    /// Values nearby of the drivers that the point lacks in some month.
    [[nodiscard]] Surroundings around(const PointClimate& point) const;

    /// For a latitude of exactly 90 or −90: the mean over all meridians. Null elsewhere.
    [[nodiscard]] const PlaceInputs* pole(double lat_deg) const;

    [[nodiscard]] const SurveyedPlaces& places() const { return places_; }

    /// Points with all drivers of full Penman–Monteith among those surveyed.
    [[nodiscard]] int complete_places() const { return complete_places_; }

  private:
    Survey() = default;
    SurveyedPlaces places_;
    std::optional<NearbyValues> depression_;
    std::optional<NearbyValues> log_wind_;
    std::optional<NearbyValues> radiation_coefficient_;
    std::optional<NearbyValues> ratio_;
    std::optional<PlaceInputs> north_pole_;
    std::optional<PlaceInputs> south_pole_;
    int complete_places_ = 0;
};

/// Whether the climate has a value of the kind in every month.
[[nodiscard]] bool all_known(const Monthly<double>& values);

}  // namespace thirstline
