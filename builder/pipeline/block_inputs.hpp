// The data that one block of lattice points needs from the grids, read by one thread and used by
// another.
//
// Thread safety: a BlockReader belongs to the reader thread; BlockInputs are immutable once read.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "builder/background/land_share.hpp"
#include "builder/background/source_grids.hpp"
#include "builder/background/survey.hpp"
#include "builder/grids/cell_elevations.hpp"
#include "builder/grids/grid_window.hpp"
#include "builder/grids/placement.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct BlockInputs {
    BlockBounds bounds;  ///< the points in the block's tiles
    BlockBounds around;  ///< the points that are read: all of the gradient squares of these tiles
    std::vector<Placement> placements;  ///< by geometry
    std::vector<std::shared_ptr<const CellElevations>>
        cell_elevations;  ///< by geometry; may be null
    std::vector<std::size_t> geometry_of_grid;
    std::vector<Variable> variable_of_grid;
    std::vector<GridWindow> windows;  ///< by grid
    Placement elevation_placement;
    std::optional<GridWindow> elevation_window;
    PointBlock points;  ///< those of `around`
    LandMesh land;
};

/// The values of the grids at a point, with rows and columns counted within those that were read.
[[nodiscard]] PlaceInputs inputs_at(const BlockInputs& inputs, int row, int column);

class BlockReader {
  public:
    /// Shares of land are needed to fuse stations.
    BlockReader(const Lattice& lattice, SourceGrids& sources, bool needs_land_shares);

    /// Divides the lattice into blocks one tile high and whole gradient squares wide, from south to
    /// north and west to east, such that the data read for a block is limited to some tens of
    /// megabytes. `first` to `last` tile row, inclusive.
    [[nodiscard]] std::vector<BlockBounds> blocks(int first_tile_row, int last_tile_row) const;

    [[nodiscard]] Result<BlockInputs> read(const BlockBounds& bounds);

  private:
    [[nodiscard]] BlockBounds around(const BlockBounds& bounds) const;
    [[nodiscard]] std::size_t bytes_of(const BlockBounds& bounds) const;

    Lattice lattice_;
    SourceGrids& sources_;
    bool needs_land_shares_;
    /// The last block's, by geometry: if the lattice is finer than the source, the next block needs
    /// the same cells.
    std::vector<std::shared_ptr<const CellElevations>> last_cell_elevations_;
};

}  // namespace thirstline
