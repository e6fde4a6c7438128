// Tiles that a build would write without some of the stations, computed in memory when a look-up
// requests them. The tiles of the lattice are gradient squares: a square's gradients are then its
// tile's.
//
// Thread safety: a TileBackground is immutable after construction; a ComputedTiles belongs to one
// thread.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <vector>

#include "builder/background/source_grids.hpp"
#include "builder/pipeline/point_record.hpp"
#include "schema/answer/answer.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// The values of the grids at every point of a tile.
struct TilePlaces {
    TileAddress address;
    std::vector<std::optional<PlaceInputs>> by_slot;  ///< empty outside the lattice
    std::vector<MonthlySun> sun_of_row;
};

/// The places of all tiles; the grids are read once for all of them. Errors: those of reading.
[[nodiscard]] Result<std::vector<TilePlaces>> tile_places(const Lattice& lattice,
                                                          SourceGrids& sources,
                                                          const Survey& survey,
                                                          const std::set<std::int64_t>& tile_keys);

/// A tile's places with the complete tile computed from the grids alone.
struct TileBackground {
    TilePlaces places;
    std::shared_ptr<const Tile> tile;
};
/// `without_stations` is a fusion without stations.
[[nodiscard]] TileBackground tile_background(TilePlaces places,
                                             const PointContext& without_stations,
                                             const TileLayout& layout);

using TileBackgrounds = std::map<std::int64_t, TileBackground>;  ///< by tile_key

/// Answers from the grids alone.
class BackgroundTiles final : public TileSource {
  public:
    explicit BackgroundTiles(const TileBackgrounds& backgrounds) : backgrounds_(backgrounds) {}
    [[nodiscard]] Result<std::shared_ptr<const Tile>> tile(const Lattice& lattice,
                                                           TileAddress address) override;
    /// Tiles that were requested and are not among the backgrounds: without them an answer may be
    /// wrong.
    [[nodiscard]] const std::set<std::int64_t>& lacking() const { return lacking_; }

  private:
    const TileBackgrounds& backgrounds_;
    std::set<std::int64_t> lacking_;
};

/// Answers from grids and stations, with some stations left out.
class ComputedTiles final : public TileSource {
  public:
    /// With `corners_of` only the corners of that position's cell are computed in full: this is
    /// correct for an interpolated answer at that place, and faster. For the other points only
    /// their presence is correct.
    ComputedTiles(const TileBackgrounds& backgrounds, const PointContext& context,
                  const TileLayout& layout, const LeftOut& left_out,
                  std::optional<LatLonE7> corners_of);
    [[nodiscard]] Result<std::shared_ptr<const Tile>> tile(const Lattice& lattice,
                                                           TileAddress address) override;
    [[nodiscard]] const std::set<std::int64_t>& lacking() const { return lacking_; }

  private:
    const TileBackgrounds& backgrounds_;
    const PointContext& context_;
    const TileLayout& layout_;
    LeftOut left_out_;
    std::optional<LatLonE7> corners_of_;
    std::map<std::int64_t, std::shared_ptr<const Tile>> computed_;
    std::set<std::int64_t> lacking_;
};

/// Keys of the tiles that contain the corners of the position's cell.
[[nodiscard]] std::set<std::int64_t> corner_tiles(const Lattice& lattice, LatLonE7 position);

}  // namespace thirstline
